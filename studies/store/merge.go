package store

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

func unfinished(path string) error {
	return fmt.Errorf("%s is not finished; run the study again with this folder, and it goes on where it was", path)
}

// Shards lists the shards' folders among paths: a path that is none itself
// stands for those in it.
func Shards(paths []string) ([]string, error) {
	var all []string
	for _, path := range paths {
		if _, err := os.Stat(filepath.Join(path, manifestName)); err == nil {
			all = append(all, path)
			continue
		}
		entries, err := os.ReadDir(path)
		if err != nil {
			return nil, fmt.Errorf("%w; name the folders that study --shard wrote, or the one they are in", err)
		}
		var within []string
		for _, e := range entries {
			if strings.HasPrefix(e.Name(), shardPrefix) {
				within = append(within, filepath.Join(path, e.Name()))
			}
		}
		if len(within) == 0 {
			return nil, fmt.Errorf("%s: there are no shards in it; name the folders that study --shard wrote, or the one they are in", path)
		}
		all = append(all, within...)
	}
	return all, nil
}

// Merge puts the shards of a study together in a folder that open opens, as Open does;
// it is then as if no shards had been made. The error names every shard that is
// missing, unfinished, torn, twice there or of another study, and nothing is opened then.
func Merge(paths []string, open func(Manifest) (*Folder, error)) (*Folder, error) {
	first, err := Read(paths[0])
	if err != nil {
		return nil, err
	}
	if first.Manifest.Shard == nil {
		return nil, fmt.Errorf("%s is no shard but a whole study", paths[0])
	}
	of := first.Manifest.Shard.Of
	shards := make([]*Folder, of)
	var wrong []error
	for _, path := range paths {
		f, err := Read(path)
		if err != nil {
			wrong = append(wrong, err)
			continue
		}
		m := f.Manifest
		if m.Shard == nil || m.Shard.Of != of || !m.sameBut(&first.Manifest) {
			wrong = append(wrong, fmt.Errorf("%s is foreign: it is not one of %d shards of the study that %s is of", path, of, paths[0]))
			continue
		}
		if other := shards[m.Shard.Number-1]; other != nil {
			wrong = append(wrong, fmt.Errorf("%s and %s are both %s", other.Path, path, m.Shard))
			continue
		}
		shards[m.Shard.Number-1] = f
	}
	for i, f := range shards {
		if f == nil {
			wrong = append(wrong, fmt.Errorf("shard %d/%d is missing", i+1, of))
			continue
		}
		for _, s := range f.Manifest.mine() {
			if _, err := readPiece(f.piece(s), f.Manifest.Study, s); errors.Is(err, fs.ErrNotExist) {
				wrong = append(wrong, fmt.Errorf("%s: %w", f.Manifest.Shard, unfinished(f.Path)))
				break
			} else if err != nil {
				wrong = append(wrong, fmt.Errorf("%s: %w", f.Manifest.Shard, err))
			}
		}
	}
	if len(wrong) > 0 {
		return nil, errors.Join(wrong...)
	}
	m := first.Manifest
	m.Shard = nil
	merged, err := open(m)
	if err != nil {
		return nil, err
	}
	for _, f := range shards {
		for _, s := range f.Manifest.mine() {
			text, err := os.ReadFile(f.piece(s))
			if err == nil {
				err = writeText(merged.piece(s), text)
			}
			if err != nil {
				return nil, fmt.Errorf("%w; the shards are as they were: mend this and give the same command again", err)
			}
		}
	}
	return merged, merged.Settle()
}

// sameBut tells whether two manifests differ in their shards and texts alone.
func (m *Manifest) sameBut(o *Manifest) bool {
	a, b := *m, *o
	a.Shard, b.Shard = nil, nil
	a.Texts, b.Texts = Texts{}, Texts{}
	return a == b && strings.TrimSpace(a.Study) != ""
}
