package main

import (
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"pipelag/scenarios"
	"pipelag/studies/store"
)

func newStudyMergeCommand() *cobra.Command {
	var out string
	var system systemFlag
	var quiet quietFlag
	var asJSON bool
	c := &cobra.Command{
		Use:   "merge FOLDER...",
		Short: "Put the shards of a study together",
		Long: `Put the shards of a study together in a folder that is then, byte for byte, as if the study had
been run whole. Every shard must be there, finished, undamaged, once, and of the same study
made by the same version; those that are not are named, and nothing is merged.

FOLDER is a shard's, or one that holds shards' folders.`,
		Example: "  pipelag study merge parts --out results\n  pipelag study merge here/shard-1-of-2 there/shard-2-of-2 --out results",
		Args:    count(1, math.MaxInt, "folder"),
		RunE: func(c *cobra.Command, args []string) error {
			if out == "" {
				return errors.New("study merge: name a folder for the whole study with --out")
			}
			paths, err := store.Shards(args)
			if err != nil {
				return err
			}
			first, err := store.Read(paths[0])
			if err != nil {
				return err
			}
			if err := readable(first); err != nil {
				return err
			}
			base, err := scenarios.Load(filepath.Join(first.Path, scenarioFile))
			if err != nil {
				return err
			}
			f, err := store.Merge(paths, func(m store.Manifest) (*store.Folder, error) { return openOut(out, m) })
			if err != nil {
				return err
			}
			names := []string{studyFile, scenarioFile, assumedFile}
			for _, c := range base.Companions {
				names = append(names, c.Name)
			}
			for _, name := range names {
				text, err := os.ReadFile(filepath.Join(paths[0], name))
				if err == nil {
					err = f.Write(name, text)
				}
				if err != nil {
					return failed(err)
				}
			}
			cases, f, err := openResults(f.Path)
			if err != nil {
				return fmt.Errorf("%s: %w", paths[0], err)
			}
			return finish(c.Context(), cases, f, system.System, asJSON, c.OutOrStdout(), quiet.notices(c.ErrOrStderr()))
		},
	}
	c.Flags().StringVar(&out, "out", "", "`FOLDER` for the whole study: new, or of the same study to go on with")
	quiet.bind(c)
	system.bind(c)
	bindJSON(c, &asJSON)
	return c
}
