package store

import (
	"fmt"
	"strconv"
	"strings"
)

// Shard is one of Of equal parts of a study, numbered from 1. A nil Shard is all
// of it.
type Shard struct {
	Number int `json:"number"`
	Of     int `json:"of"`
}

// ParseShard reads k/n.
func ParseShard(text string) (*Shard, error) {
	k, n, ok := strings.Cut(text, "/")
	number, err1 := strconv.Atoi(k)
	of, err2 := strconv.Atoi(n)
	s := &Shard{number, of}
	if !ok || err1 != nil || err2 != nil || !s.sound() {
		return nil, fmt.Errorf("%q is no shard; write its number, from 1, and how many there are, such as 3/8", text)
	}
	return s, nil
}

func (s *Shard) sound() bool { return s.Number >= 1 && s.Number <= s.Of && s.Of <= mostShards }

// mostShards is how many parts a study may be run in.
const mostShards = 100_000

// String names the shard as k/n.
func (s *Shard) String() string {
	if s == nil {
		return "the whole study"
	}
	return fmt.Sprintf("shard %d/%d", s.Number, s.Of)
}

// shardPrefix begins the names of shards' folders.
const shardPrefix = "shard-"

// Folder is what the shard's folder is called.
func (s *Shard) Folder() string { return fmt.Sprintf(shardPrefix+"%d-of-%d", s.Number, s.Of) }

// holds tells whether a piece, numbered from 0, is the shard's: pieces are dealt
// like cards, which depends on nothing but their number.
func (s *Shard) holds(piece int) bool { return s == nil || piece%s.Of == s.Number-1 }
