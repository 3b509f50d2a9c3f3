// Package random gives every stochastic thing a stream of random numbers of
// its own, found by name and not by the order in which numbers were asked for:
// adding a thing moves no other's draws.
package random

import (
	"hash/fnv"
	"math/rand/v2"
)

// Key identifies a stream.
type Key struct{ high, low uint64 }

// NewKey is the key that a seed, a name and any indices (replicate, day, …)
// give, in that order.
func NewKey(seed uint64, name string, indices ...uint64) Key {
	h := fnv.New64a()
	h.Write([]byte(name)) // never fails, by its documentation
	k := Key{0x243f6a8885a308d3, 0x13198a2e03707344}.With(seed).With(h.Sum64())
	for _, index := range indices {
		k = k.With(index)
	}
	return k
}

// With is the key of the stream with one more index.
//
// Each half is stirred by the finaliser of SplitMix64, whose every input bit
// changes every output bit about half of the time; the halves feed each other,
// so that 128 bits keep streams apart.
// Source: G. Steele, D. Lea and C. Flood, Fast splittable pseudorandom number
// generators, OOPSLA 2014, figure 17 (from memory; any good mixer would do, the
// frozen test pins this one).
func (k Key) With(index uint64) Key {
	high := stir(k.high ^ stir(index+0x9e3779b97f4a7c15))
	return Key{high, stir(k.low + high + index)}
}

// Seed sets p to the beginning of the stream.
func (k Key) Seed(p *rand.PCG) { p.Seed(k.high, k.low) }

// Stream is the stream of a seed, a name and any indices.
func Stream(seed uint64, name string, indices ...uint64) *rand.Rand {
	var p rand.PCG
	NewKey(seed, name, indices...).Seed(&p)
	return rand.New(&p)
}

func stir(z uint64) uint64 {
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}
