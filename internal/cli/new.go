package cli

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"takeweave/internal/film"
	"takeweave/internal/job"
)

func (a *app) newCommand() *cobra.Command {
	var song, rate, size string
	cmd := &cobra.Command{
		Use:     "new DIR --song RECORD",
		Short:   "Begin a film from the master recording",
		Long:    "Makes the folder DIR for a film and copies the master recording into it.\n\n" + exitCodes,
		Example: "  takeweave new slow-ferry --song \"Slow Ferry Home master.wav\"\n  takeweave new slow-ferry --song master.flac --rate 25 --size 1920x1080",
		Args:    exactly(1, "the folder of the film: takeweave new DIR --song RECORD"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if song == "" {
				return &film.Error{Code: film.CodeUsage, Msg: "a film begins from a record", Hint: "takeweave new " + args[0] + " --song RECORD (WAV, FLAC, MP3 or M4A)"}
			}
			ctx := cmd.Context()
			e, err := a.findEngine(ctx)
			if err != nil {
				return err
			}
			s, err := job.Create(ctx, e, args[0], song)
			if err != nil {
				return err
			}
			defer s.Close()
			if err := job.New(s, e, nil).SetFormat(ctx, rate, size); err != nil {
				return err
			}
			return a.show(map[string]string{"film": s.Dir}, func(w io.Writer) {
				fmt.Fprintf(w, "A new film lies in %s\nNext: takeweave run %s --clips FOLDER\n", s.Dir, args[0])
			})
		},
	}
	cmd.Flags().StringVar(&song, "song", "", "the master recording (WAV, FLAC, MP3, M4A)")
	addFormatFlags(cmd, &rate, &size)
	return cmd
}

func addFormatFlags(cmd *cobra.Command, rate, size *string) {
	cmd.Flags().StringVar(rate, "rate", "", "frames per second of the film (default: what fits most of the clips)")
	cmd.Flags().StringVar(size, "size", "", "size of the film, for example 1920x1080 (default: what fits most of the clips)")
}
