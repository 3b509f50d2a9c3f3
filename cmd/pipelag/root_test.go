package main

import "testing"

// Lists of numbers stand on a line each, and nothing else is changed: the rest is
// indented as by encoding/json.
func TestNumberListsOnOneLine(t *testing.T) {
	text, err := encodeJSON(struct {
		Numbers []float64
		None    []*int
		Empty   []int
		Texts   []string
		Lists   [][]int
		Mixed   []any
	}{[]float64{1, -2.5, 3e-9}, []*int{nil}, []int{}, []string{"[\n1,\n2\n]"}, [][]int{{1, 2}, {3}}, []any{1, true}})
	if err != nil {
		t.Fatal(err)
	}
	const want = `{
  "Numbers": [1, -2.5, 3e-9],
  "None": [null],
  "Empty": [],
  "Texts": [
    "[\n1,\n2\n]"
  ],
  "Lists": [
    [1, 2],
    [3]
  ],
  "Mixed": [
    1,
    true
  ]
}
`
	if string(text) != want {
		t.Errorf("%s", text)
	}
}
