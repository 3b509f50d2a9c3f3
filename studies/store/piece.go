package store

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"slices"
	"sync"
)

// A piece is a compressed text of JSON lines: which cases it holds of which
// study, its runs in order of case and replicate, and the checksum of these
// lines.

// span is the cases of a piece, both ends included.
type span struct {
	First int `json:"first"`
	Last  int `json:"last"`
}

func (s span) name() string { return fmt.Sprintf("%09d-%09d.jsonl.gz", s.First, s.Last) }

type pieceHead struct {
	Study string `json:"study"`
	span
}

type pieceEnd struct {
	Runs   int    `json:"runs"`
	SHA256 string `json:"sha256"`
}

// compressors are kept for the next piece, for one takes longer to make than a
// small piece to compress.
var compressors = sync.Pool{New: func() any {
	z, _ := gzip.NewWriterLevel(nil, gzip.BestSpeed) // an error is of a level that is none
	return z
}}

func encodePiece(study string, s span, runs []Run) ([]byte, error) {
	var b bytes.Buffer
	z := compressors.Get().(*gzip.Writer)
	defer compressors.Put(z)
	z.Reset(&b)
	sum := sha256.New()
	lines := json.NewEncoder(io.MultiWriter(z, sum))
	if err := lines.Encode(pieceHead{study, s}); err != nil {
		return nil, err
	}
	for i := range runs {
		if err := lines.Encode(&runs[i]); err != nil {
			return nil, fmt.Errorf("case %d, replicate %d: %w", runs[i].Case+1, runs[i].Replicate+1, err)
		}
	}
	if err := json.NewEncoder(z).Encode(pieceEnd{len(runs), hex.EncodeToString(sum.Sum(nil))}); err != nil {
		return nil, err
	}
	err := z.Close()
	return b.Bytes(), err
}

// Size is about how much a run takes in a piece [bytes].
func Size(r Run) (int, error) {
	text, err := encodePiece("", span{}, slices.Repeat([]Run{r}, 32))
	return len(text) / 32, err
}

// Damaged is a piece that is there and not whole, or not of this study.
type Damaged struct{ error }

// Unwrap is what is wrong with it.
func (d Damaged) Unwrap() error { return d.error }

// readPiece reads a piece back. An error of one that is there is Damaged.
func readPiece(path, study string, s span) ([]Run, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	runs, err := decodePiece(bufio.NewReader(f), study, s)
	if err != nil {
		return nil, Damaged{fmt.Errorf("piece %s: %w; remove this file and run the study again: only its runs are made anew", path, err)}
	}
	return runs, nil
}

func decodePiece(r io.Reader, study string, s span) ([]Run, error) {
	z, err := gzip.NewReader(r)
	if err != nil {
		return nil, fmt.Errorf("cannot be read: %w", err)
	}
	text, err := io.ReadAll(z)
	if err != nil {
		return nil, fmt.Errorf("is torn: %w", err)
	}
	lines := bytes.SplitAfter(text, []byte("\n"))
	if len(lines) < 3 {
		return nil, fmt.Errorf("is torn: it has %d lines", len(lines)-1)
	}
	lines = lines[:len(lines)-1] // nothing stands after the last line's end
	last := lines[len(lines)-1]
	var end pieceEnd
	sum := sha256.Sum256(text[:len(text)-len(last)])
	if err := json.Unmarshal(last, &end); err != nil || end.SHA256 != hex.EncodeToString(sum[:]) || end.Runs != len(lines)-2 {
		return nil, fmt.Errorf("is damaged: its checksum does not fit")
	}
	var head pieceHead
	if err := json.Unmarshal(lines[0], &head); err != nil {
		return nil, err
	}
	if head.Study != study || head.span != s {
		return nil, fmt.Errorf("is of study %.12s, cases %d to %d, not of study %.12s, cases %d to %d",
			head.Study, head.First+1, head.Last+1, study, s.First+1, s.Last+1)
	}
	runs := make([]Run, end.Runs)
	for i := range runs {
		if err := json.Unmarshal(lines[i+1], &runs[i]); err != nil {
			return nil, err
		}
	}
	return runs, nil
}
