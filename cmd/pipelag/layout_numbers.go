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
		number := slices.Index(layouts, a.Layout) + 1
		if number == 0 {
			kept, numbers = append(kept, a), append(numbers, nil)
			continue
		}
		a.Path, a.Layout = strings.TrimPrefix(a.Path, "layouts."+a.Layout+"."), ""
		told := -1
		for i, n := range numbers {
			if n != nil && kept[i] == a {
				told = i
			}
		}
		if told >= 0 {
			numbers[told] = append(numbers[told], number)
		} else {
			kept, numbers = append(kept, a), append(numbers, []int{number})
		}
	}
	for i, n := range numbers {
		switch {
		case len(n) == 1:
			kept[i].Layout = layouts[n[0]-1]
			kept[i].Path = "layouts." + kept[i].Layout + "." + kept[i].Path
		case len(n) > 1:
			kept[i].Path += " of " + layoutNumbers(n)
		}
	}
	return kept
}
