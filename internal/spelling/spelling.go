// Package spelling tells how like two words are.
package spelling

// Edits counts the letters to insert, drop or change to make b of a.
//
// Source: Levenshtein, Binary codes capable of correcting deletions,
// insertions and reversals, 1966; from memory. kitten to sitting is 3.
func Edits(a, b string) int {
	from, to := []rune(a), []rune(b)
	row := make([]int, len(to)+1)
	for j := range row {
		row[j] = j
	}
	for i, x := range from {
		diagonal := row[0]
		row[0] = i + 1
		for j, y := range to {
			change := diagonal
			if x != y {
				change++
			}
			diagonal = row[j+1]
			row[j+1] = min(change, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(to)]
}
