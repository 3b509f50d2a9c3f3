package main

import (
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// commandLine is a command as one would type it again, flags in the order of the
// alphabet.
func commandLine(c *cobra.Command, args []string) string {
	words := strings.Fields(c.CommandPath())
	for _, a := range args {
		words = append(words, quoted(a))
	}
	c.Flags().Visit(func(f *pflag.Flag) {
		values := []string{f.Value.String()}
		if list, ok := f.Value.(pflag.SliceValue); ok {
			values = list.GetSlice()
		}
		for _, v := range values {
			switch f.NoOptDefVal { // what the flag alone would mean; of a switch, true
			case "":
				words = append(words, "--"+f.Name, quoted(v))
			case v:
				words = append(words, "--"+f.Name)
			default:
				words = append(words, "--"+f.Name+"="+quoted(v))
			}
		}
	})
	return strings.Join(words, " ")
}

// quoted is a word as a shell takes it for itself.
func quoted(word string) string {
	plain := word != "" && !strings.ContainsFunc(word, func(r rune) bool {
		return !strings.ContainsRune("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789._/=,+:-", r)
	})
	if plain {
		return word
	}
	return "'" + strings.ReplaceAll(word, "'", `'\''`) + "'"
}
