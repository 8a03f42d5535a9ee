package cli

import (
	"fmt"
	"io"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"takeweave/internal/job"
)

func (a *app) checkCommand() *cobra.Command {
	var order string
	cmd := &cobra.Command{
		Use: "check DIR", Short: "Examine the finished film",
		Long: `Examines the finished film as it lies on the disk: every frame, all of its sound,
and the sync of each line, measured again from the passes' own sound. Says what was
checked, what was not and what was found, and where in the song.

` + exitCodes,
		Example: "  takeweave check slow-ferry\n  takeweave check slow-ferry --of 9x16",
		Args:    exactly(1, "the folder of the film: takeweave check DIR"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.withFilm(cmd.Context(), args[0], func(w *job.Work) error {
				c, err := w.Check(cmd.Context(), order)
				if err != nil {
					return err
				}
				a.partly = a.partly || len(c.Verdict.Findings) > 0
				return a.show(c, func(out io.Writer) { sayChecked(out, c) })
			})
		},
	}
	addOrderFlag(cmd, &order)
	return cmd
}

func sayChecked(out io.Writer, c job.Checked) {
	fmt.Fprintln(out, c.Words)
	t := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	for i, f := range c.Verdict.Findings {
		fmt.Fprintf(t, "  %s\tframe %d\t%s\t%s\n", c.Where[i], f.First, f.Kind, f.Words)
	}
	_ = t.Flush()
	for _, n := range c.Verdict.NotChecked {
		fmt.Fprintf(out, "Not checked: %s, %s\n", n.Kind, n.Why)
	}
	fmt.Fprintf(out, "Sound: %.1f LUFS, range %.1f LU, true peak %.1f dBTP\n", float64(c.Loudness.IntegratedLUFS), float64(c.Loudness.RangeLU), float64(c.Loudness.TruePeakDBTP))
	fmt.Fprintln(out, c.Caution)
}

func (a *app) loudnessCommand() *cobra.Command {
	var purpose string
	cmd := &cobra.Command{
		Use: "loudness DIR", Short: "Measure the record, and choose how loud the film is",
		Long: `Measures the record. With --for the film's sound is brought to what a purpose asks
for, by gain alone, as far as the true peak allows: web is about -14 LUFS and
-1 dBTP, broadcast -23 LUFS. Otherwise it stays as the record has it.

` + exitCodes,
		Example: "  takeweave loudness slow-ferry\n  takeweave loudness slow-ferry --for web\n  takeweave loudness slow-ferry --for \"as it is\"",
		Args:    exactly(1, "the folder of the film: takeweave loudness DIR"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.withFilm(cmd.Context(), args[0], func(w *job.Work) error {
				if purpose != "" {
					if _, err := w.SetLoudness(cmd.Context(), purpose); err != nil {
						return err
					}
				}
				r, err := w.RecordLoudness(cmd.Context())
				if err != nil {
					return err
				}
				g, err := w.Gain(cmd.Context())
				if err != nil {
					return err
				}
				return a.show(map[string]any{"record": r, "gain": g}, func(out io.Writer) {
					fmt.Fprintf(out, "Record: %.1f LUFS, range %.1f LU, true peak %.1f dBTP\n", float64(r.IntegratedLUFS), float64(r.RangeLU), float64(r.TruePeakDBTP))
					if g.Target.Name == "" {
						fmt.Fprintln(out, "The film keeps it as it is.")
						return
					}
					fmt.Fprintf(out, "For %s: %s\n", g.Target.Name, g.Words)
				})
			})
		},
	}
	cmd.Flags().StringVar(&purpose, "for", "", "web, broadcast or \"as it is\"")
	return cmd
}
