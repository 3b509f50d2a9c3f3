package store

import (
	"cmp"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
)

// Part is a piece that is still to be made, or to be made longer: the cases from
// First to Last.
type Part struct{ span }

// Missing lists the parts that the folder lacks. done tells whether the runs
// that there are of one case, in order, are all that are wanted.
func (f *Folder) Missing(done func(runs []Run) bool) ([]Part, error) {
	present, err := f.present()
	if err != nil {
		return nil, err
	}
	var parts []Part
	for _, s := range f.Manifest.mine() {
		if _, found := slices.BinarySearchFunc(present, s, inOrder); found {
			runs, err := readPiece(f.piece(s), f.Manifest.Study, s)
			if err != nil {
				return nil, err
			}
			if byCase := Cases(runs); len(byCase) == s.Last-s.First+1 && !slices.ContainsFunc(byCase, func(runs []Run) bool { return !done(runs) }) {
				continue
			}
		}
		parts = append(parts, Part{s})
	}
	return parts, nil
}

// Have is what there is of a part, in order: made before it was to be longer, or
// in pieces that are to be joined. Such a piece may go meanwhile, where another
// that does the same is done with it.
func (f *Folder) Have(p Part) ([]Run, error) {
	present, err := f.present()
	if err != nil {
		return nil, err
	}
	var have []Run
	for _, s := range present {
		if s.Last < p.First || s.First > p.Last {
			continue
		}
		runs, err := readPiece(f.piece(s), f.Manifest.Study, s)
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return nil, err
		}
		for _, run := range runs {
			if run.Case >= p.First && run.Case <= p.Last {
				have = append(have, run)
			}
		}
	}
	slices.SortFunc(have, order)
	return slices.CompactFunc(have, func(a, b Run) bool { return order(a, b) == 0 }), nil
}

// inOrder is the order of the pieces' names.
func inOrder(a, b span) int {
	return cmp.Or(cmp.Compare(a.First, b.First), cmp.Compare(a.Last, b.Last))
}

func order(a, b Run) int {
	return cmp.Or(cmp.Compare(a.Case, b.Case), cmp.Compare(a.Replicate, b.Replicate))
}

// Cases splits ordered runs by case.
func Cases(runs []Run) [][]Run {
	var all [][]Run
	for len(runs) > 0 {
		n := slices.IndexFunc(runs, func(r Run) bool { return r.Case != runs[0].Case })
		if n < 0 {
			n = len(runs)
		}
		all = append(all, runs[:n])
		runs = runs[n:]
	}
	return all
}

// Fill puts a part's runs, in order, in their place.
func (f *Folder) Fill(p Part, runs []Run) error {
	text, err := encodePiece(f.Manifest.Study, p.span, runs)
	if err != nil {
		return err
	}
	return writeText(f.piece(p.span), text)
}

// Settle makes it last that every piece is in its place, and removes what is left:
// shorter pieces that went into longer ones, and what was half-written by one that
// was killed.
func (f *Folder) Settle() error {
	present, err := f.present()
	if err != nil {
		return err
	}
	pieces := filepath.Join(f.Path, piecesName)
	if err := syncFolder(pieces); err != nil {
		return err
	}
	mine := f.Manifest.mine()
	for _, s := range present {
		if _, wanted := slices.BinarySearchFunc(mine, s, inOrder); wanted {
			continue
		}
		if err := os.Remove(f.piece(s)); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	return errors.Join(sweep(f.Path), sweep(pieces))
}

// Each goes through all runs in order of case and replicate. A piece that is
// missing or not whole is an error.
func (f *Folder) Each(visit func(*Run) error) error {
	for _, s := range f.Manifest.mine() {
		runs, err := readPiece(f.piece(s), f.Manifest.Study, s)
		if errors.Is(err, fs.ErrNotExist) {
			return unfinished(f.Path)
		}
		if err != nil {
			return err
		}
		for i := range runs {
			if err := visit(&runs[i]); err != nil {
				return err
			}
		}
	}
	return nil
}
