package scenarios

import (
	"fmt"
)

// The format is a set of tables, one for each mapping a scenario may hold. A
// table's row is a key, what it means and what its value may be; reading,
// error messages and the JSON Schema all come from it.

// table is what a mapping may hold, filled into a T.
type table[T any] struct {
	what string // what the mapping describes, with its article
	rows func() []row[T]
}

// row is one key.
type row[T any] struct {
	key   string
	doc   string
	need  bool
	value value[T]
}

// value is what a key may hold: how it is read into a T, and its JSON Schema.
type value[T any] struct {
	read   func(r *reader, n *node, into *T)
	schema func() schema
}

// said is a value and where the file says it; at is nil if it does not.
type said[V any] struct {
	value V
	at    *node
}

// or is the value, or a layout's it takes over.
func (s said[V]) or(other said[V]) said[V] {
	if s.at != nil {
		return s
	}
	return other
}

// named is a mapping's value under a key the user chose.
type named[V any] struct {
	name  string
	at    *node // the key
	value V
}

// read fills a T from a mapping and notes keys that are unknown, twice or
// missing.
func (t table[T]) read(r *reader, n *node, into *T) {
	if !r.is(n, mapping, t.what) {
		return
	}
	rows := t.rows()
	known := make([]string, len(rows))
	for i, row := range rows {
		known[i] = row.key
	}
	seen := make([]bool, len(rows))
	for i, key := range n.keys {
		if !r.key(n, i) {
			continue
		}
		found := false
		for k, row := range rows {
			if row.key != key.text {
				continue
			}
			found, seen[k] = true, true
			item := n.items[i]
			if item.shape == empty {
				r.fault(item, fmt.Sprintf("%s has no value", row.key), "give it one or remove the key")
				continue
			}
			row.value.read(r, item, into)
		}
		if !found {
			r.fault(key, fmt.Sprintf("unknown key %q in %s", key.text, t.what), suggest(key.text, "keys", known))
		}
	}
	for k, row := range rows {
		if row.need && !seen[k] {
			r.fault(n, fmt.Sprintf("%s has no %s", t.what, row.key), fmt.Sprintf("add %s: %s", row.key, row.doc))
		}
	}
}

// is notes a node of the wrong shape.
func (r *reader) is(n *node, want shape, what string) bool {
	if n.shape != want {
		r.fault(n, fmt.Sprintf("%s where %s is expected", n.shape, what), "write "+want.String())
		return false
	}
	return true
}

// key notes a mapping's key that is no text, or stands there twice.
func (r *reader) key(n *node, i int) bool {
	key := n.keys[i]
	if key.shape != scalar || !short(key.text) {
		r.fault(key, "a key that is not a short text", fmt.Sprintf("write 1 to %d characters on one line", maxName))
		return false
	}
	for _, other := range n.keys[:i] {
		if other.shape == scalar && other.text == key.text {
			r.fault(key, fmt.Sprintf("%q stands here twice, first on line %d", key.text, other.line), "keep one")
			return false
		}
	}
	return true
}

// scalar notes a node that is not a single value.
func (r *reader) scalar(n *node, example string) bool {
	if n.shape != scalar {
		r.fault(n, n.shape.String()+" where a single value is expected", "write one, such as "+example)
		return false
	}
	return true
}

// within is a mapping with a table of its own.
func within[T, M any](t table[M], to func(*T) *said[M]) value[T] {
	return value[T]{
		read: func(r *reader, n *node, into *T) {
			if !r.is(n, mapping, t.what) {
				return
			}
			var m M
			t.read(r, n, &m)
			*to(into) = said[M]{m, n}
		},
		schema: t.schema,
	}
}

// each is a mapping whose keys are names the user chose.
func each[T, M any](t table[M], most int, to func(*T) *[]named[M]) value[T] {
	return value[T]{
		read: func(r *reader, n *node, into *T) {
			if !r.is(n, mapping, "a mapping, each key the name of "+t.what+",") {
				return
			}
			if len(n.keys) == 0 {
				r.fault(n, fmt.Sprintf("an empty mapping where %s is expected", t.what), "write at least one")
				return
			}
			if len(n.keys) > most {
				r.fault(n, fmt.Sprintf("%d entries", len(n.keys)), fmt.Sprintf("at most %d are read", most))
				return
			}
			for i, key := range n.keys {
				if !r.key(n, i) {
					continue
				}
				var m M
				t.read(r, n.items[i], &m)
				*to(into) = append(*to(into), named[M]{key.text, key, m})
			}
		},
		schema: func() schema {
			return schema{"type": "object", "minProperties": 1, "maxProperties": most, "additionalProperties": t.schema()}
		},
	}
}

// many is a list of mappings.
func many[T, M any](t table[M], most int, to func(*T) *[]said[M]) value[T] {
	return value[T]{
		read: func(r *reader, n *node, into *T) {
			if !r.is(n, list, "a list, each item "+t.what+",") {
				return
			}
			if len(n.items) == 0 {
				r.fault(n, fmt.Sprintf("an empty list where %s is expected", t.what), "write at least one")
				return
			}
			if len(n.items) > most {
				r.fault(n, fmt.Sprintf("%d entries", len(n.items)), fmt.Sprintf("at most %d are read", most))
				return
			}
			for _, item := range n.items {
				var m M
				t.read(r, item, &m)
				*to(into) = append(*to(into), said[M]{m, item})
			}
		},
		schema: func() schema {
			return schema{"type": "array", "minItems": 1, "maxItems": most, "items": t.schema()}
		},
	}
}
