package sim

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
)

// ReadResult reads what a run wrote. It refuses a text that is cut off or lacks
// something that results hold, or holds a layout twice, and says where.
func ReadResult(text []byte) (*Result, error) {
	r := new(Result)
	if err := ReadWhole(text, r); err != nil {
		return nil, err
	}
	if r.Years < 1 || len(r.Layouts) == 0 {
		return nil, fmt.Errorf("%d years of %d layouts; a result has one at least of both", r.Years, len(r.Layouts))
	}
	if twice := r.twice(); twice != "" {
		return nil, fmt.Errorf("%s is there twice", twice)
	}
	return r, nil
}

// twice is the first name that stands for two things, or nothing.
func (r *Result) twice() string {
	var layouts, differences []string
	for _, l := range r.Layouts {
		if slices.Contains(layouts, l.Name) {
			return fmt.Sprintf("layout %q", l.Name)
		}
		layouts = append(layouts, l.Name)
	}
	for _, d := range r.Differences {
		if slices.Contains(differences, d.Layout) {
			return fmt.Sprintf("the difference of layout %q", d.Layout)
		}
		differences = append(differences, d.Layout)
	}
	return ""
}

// ReadWhole decodes JSON into a value and refuses a text that lacks any key or
// element that the value would be written with: one that is not there would
// pass for 0 otherwise. Keys that the value does not know are let be.
func ReadWhole(text []byte, value any) error {
	if err := json.Unmarshal(text, value); err != nil {
		return located(text, err)
	}
	again, err := json.Marshal(value)
	if err != nil {
		return err
	}
	var wanted, found any
	if err := errors.Join(json.Unmarshal(again, &wanted), json.Unmarshal(text, &found)); err != nil {
		return err
	}
	if where := lacking(wanted, found); where != "" {
		return fmt.Errorf("there is no %s", where[1:])
	}
	return nil
}

// located gives an error of JSON its line and column.
func located(text []byte, err error) error {
	var at int64
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	switch {
	case errors.As(err, &syntax):
		at = syntax.Offset
	case errors.As(err, &kind):
		at = kind.Offset
	default:
		return err
	}
	before := text[:min(at, int64(len(text)))]
	return fmt.Errorf("%d:%d: %w", 1+bytes.Count(before, []byte("\n")), len(before)-bytes.LastIndexByte(before, '\n'), err)
}

// lacking is the path to the first thing that is wanted and not found, or
// nothing.
func lacking(wanted, found any) string {
	switch wanted := wanted.(type) {
	case map[string]any:
		found, _ := found.(map[string]any)
		keys := make([]string, 0, len(wanted))
		for key := range wanted {
			keys = append(keys, key)
		}
		slices.Sort(keys)
		for _, key := range keys {
			there, ok := found[key]
			if !ok {
				return "." + key
			}
			if where := lacking(wanted[key], there); where != "" {
				return "." + key + where
			}
		}
	case []any:
		found, _ := found.([]any)
		for i := range wanted {
			if i >= len(found) {
				return fmt.Sprintf("[%d]", i)
			}
			if where := lacking(wanted[i], found[i]); where != "" {
				return fmt.Sprintf("[%d]%s", i, where)
			}
		}
	}
	return ""
}
