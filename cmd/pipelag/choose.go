package main

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"pipelag/sim"
)

func bindLayouts(c *cobra.Command, to *[]string) {
	c.Flags().StringArrayVar(to, "layouts", nil, "`LAYOUT` to take: its name, its number, or a pattern with * and ?; may be given again")
}

// choose picks layouts by name, number or pattern, in the order asked for; all
// of them where nothing is asked for.
func choose(all []sim.Layout, asked []string) ([]sim.Layout, error) {
	if len(asked) == 0 {
		return all, nil
	}
	var chosen []sim.Layout
	taken := make([]bool, len(all))
	for _, text := range asked {
		found := matching(all, text)
		if len(found) == 0 {
			return nil, fmt.Errorf("--layouts: there is no layout %q; there are %s", text, numbered(all))
		}
		for _, i := range found {
			if !taken[i] {
				taken[i] = true
				chosen = append(chosen, all[i])
			}
		}
	}
	return chosen, nil
}

// matching are the layouts that a text means: a name before a number before a
// pattern.
func matching(all []sim.Layout, text string) []int {
	for i, l := range all {
		if l.Network.Name == text {
			return []int{i}
		}
	}
	if n, err := strconv.Atoi(text); err == nil {
		if n < 1 || n > len(all) {
			return nil
		}
		return []int{n - 1}
	}
	// Names hold slashes (3/8), which * of a file pattern would not pass.
	quoted := regexp.QuoteMeta(text)
	pattern := regexp.MustCompile("^" + strings.NewReplacer(`\*`, ".*", `\?`, ".").Replace(quoted) + "$")
	var found []int
	for i, l := range all {
		if pattern.MatchString(l.Network.Name) {
			found = append(found, i)
		}
	}
	return found
}

// numbered lists layouts with their numbers, for a message.
func numbered(all []sim.Layout) string {
	names := make([]string, len(all))
	for i, l := range all {
		names[i] = fmt.Sprintf("%d %q", i+1, l.Network.Name)
	}
	return strings.Join(names, ", ")
}
