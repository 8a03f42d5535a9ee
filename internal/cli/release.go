package cli

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"takeweave/internal/job"
)

func (a *app) releaseCommand() *cobra.Command {
	var because string
	cmd := &cobra.Command{
		Use: "release DIR", Short: "Make what is ordered the next version: named files, text to publish, what changed",
		Long: `Renders what is not rendered yet and lays the films out as the next version, in
out/v1, out/v2 and so on: files named by artist, song, shape and version, their
captions and reports, the text to publish in three lengths, and in words what
changed since the version before. When nothing changed there is no new version.

A permission that is open blocks a release: note the answer with "takeweave facts",
or say with --because why it goes out nevertheless. This is no legal advice.

` + exitCodes,
		Example: "  takeweave release slow-ferry\n  takeweave release slow-ferry --because \"only for the artist to look at\"",
		Args:    exactly(1, "the folder of the film: takeweave release DIR"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.withFilm(cmd.Context(), args[0], func(w *job.Work) error {
				r, err := w.Release(cmd.Context(), because)
				if err != nil {
					return err
				}
				return a.show(r, func(out io.Writer) {
					fmt.Fprintf(out, "Version %d: %s\n", r.Version, r.Folder)
					for _, c := range r.Changes {
						fmt.Fprintln(out, "  changed:", c)
					}
					for _, f := range r.Files {
						fmt.Fprintln(out, "  ", f)
					}
				})
			})
		},
	}
	cmd.Flags().StringVar(&because, "because", "", "release although a permission is open, for this reason; it is noted")
	return cmd
}
