package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// layoutNumbers names layouts by their numbers, from 1: layout 4, layouts 1 to 3, 5.
func layoutNumbers(numbers []int) string {
	numbers = slices.Clone(numbers)
	slices.Sort(numbers)
	numbers = slices.Compact(numbers)
	if len(numbers) == 1 {
		return "layout " + strconv.Itoa(numbers[0])
	}
	var parts []string
	for i := 0; i < len(numbers); {
		end := i
		for end+1 < len(numbers) && numbers[end+1] == numbers[end]+1 {
			end++
		}
		if end < i+2 { // two are no shorter as a stretch
			parts = append(parts, strconv.Itoa(numbers[i]))
			i++
			continue
		}
		parts = append(parts, fmt.Sprintf("%d to %d", numbers[i], numbers[end]))
		i = end + 1
	}
	return "layouts " + strings.Join(parts, ", ")
}

// gathered are assumptions, with those that say the same of several layouts, by name
// in the order of their numbers, told once.
func gathered(all []assumption, layouts []string) []assumption {
	var kept []assumption
	var numbers [][]int // of the layouts that each of kept is of; none where it is of all
	for _, a := range all {
		key, number := ofLayout(a.Path, layouts)
		told := -1
		for i, n := range numbers {
			if number > 0 && n != nil && kept[i] == (assumption{key, a.Value, a.Why}) {
				told = i
			}
		}
		switch {
		case told >= 0:
			numbers[told] = append(numbers[told], number)
		case number > 0:
			kept, numbers = append(kept, assumption{key, a.Value, a.Why}), append(numbers, []int{number})
		default:
			kept, numbers = append(kept, a), append(numbers, nil)
		}
	}
	for i, n := range numbers {
		switch {
		case len(n) == 1:
			kept[i].Path = "layouts." + layouts[n[0]-1] + "." + kept[i].Path
		case len(n) > 1:
			kept[i].Path += " of " + layoutNumbers(n)
		}
	}
	return kept
}

// ofLayout is what of a layout a path names, and the layout's number, from 1; 0 for
// a path to anything else.
func ofLayout(path string, layouts []string) (key string, number int) {
	longest := 0
	for i, name := range layouts { // one may begin as another
		if rest, ok := strings.CutPrefix(path, "layouts."+name+"."); ok && len(name) > longest {
			key, number, longest = rest, i+1, len(name)
		}
	}
	return key, number
}
