package cli

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"takeweave/internal/film"
	"takeweave/internal/job"
	"takeweave/internal/look"
)

// matchOptions are the flags of match.
type matchOptions struct {
	setup, to, pass, box string
	at                   float64
	keep                 bool
}

func (a *app) matchCommand() *cobra.Command {
	var o matchOptions
	cmd := &cobra.Command{
		Use: "match DIR", Short: "Bring the colours of one setup to another, or to a grey card",
		Long: `Finds the correction that brings the colours of a setup to those of another by the
same moments of the song in both, or to a grey card of 18 % that one of its passes
shows. It tells how far they are apart before and after; --keep makes it the setup's
correction.

` + exitCodes,
		Example: `  takeweave match slow-ferry --setup hands --to wide
  takeweave match slow-ferry --setup hands --to wide --keep
  takeweave match slow-ferry --setup face --pass C0013 --at 2.5 --box 0.4,0.5,0.1,0.1 --keep`,
		Args: exactly(1, "the folder of the film: takeweave match DIR --setup NAME --to NAME"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.withFilm(cmd.Context(), args[0], func(w *job.Work) error { return a.match(cmd, w, o) })
		},
	}
	f := cmd.Flags()
	f.StringVar(&o.setup, "setup", "", "the setup that is corrected")
	f.StringVar(&o.to, "to", "", "the setup that it is brought to")
	f.StringVar(&o.pass, "pass", "", "the pass that shows a grey card, in place of --to")
	f.Float64Var(&o.at, "at", 0, "when the card is seen, in seconds of the pass")
	f.StringVar(&o.box, "box", "", "where: left, top, width and height in shares of the picture, such as 0.4,0.5,0.1,0.1")
	f.BoolVar(&o.keep, "keep", false, "make it the setup's correction")
	return cmd
}

// ask says what is asked for.
func (o matchOptions) ask(cmd *cobra.Command, w *job.Work) (job.MatchAsk, error) {
	ask := job.MatchAsk{Setup: o.setup, By: job.ByMoment, To: o.to}
	if (o.to == "") == (o.pass == "") {
		return ask, &film.Error{Code: film.CodeUsage, Msg: "nothing to match to", Hint: "name a setup with --to, or a pass that shows a grey card with --pass"}
	}
	if o.pass == "" {
		return ask, nil
	}
	name, err := w.PassNamed(cmd.Context(), o.pass)
	if err != nil {
		return ask, err
	}
	ask.By, ask.Pass, ask.At = job.ByGrey, name, film.PassTime(o.at)
	if n, err := fmt.Sscanf(o.box, "%f,%f,%f,%f", &ask.Box.X, &ask.Box.Y, &ask.Box.W, &ask.Box.H); n != 4 || err != nil {
		return ask, &film.Error{Code: film.CodeUsage, Msg: fmt.Sprintf("%q is no place in the picture", o.box), Hint: "give --box left,top,width,height in shares of the picture, such as 0.4,0.5,0.1,0.1"}
	}
	return ask, nil
}

func (a *app) match(cmd *cobra.Command, w *job.Work, o matchOptions) error {
	ask, err := o.ask(cmd, w)
	if err != nil {
		return err
	}
	found, err := w.Match(cmd.Context(), ask)
	if err != nil {
		return err
	}
	if o.keep {
		if _, err := w.SetTrim(cmd.Context(), o.setup, found.Trim); err != nil {
			return err
		}
	}
	return a.show(found, func(out io.Writer) { sayMatch(out, found, o) })
}

func sayMatch(out io.Writer, m look.Match, o matchOptions) {
	fmt.Fprintf(out, "%s: %s\n", o.setup, job.SayTrim(m.Trim))
	fmt.Fprintf(out, "  apart by %.1f on average before, %.1f after (CIEDE2000)\n", m.Before.Mean, m.After.Mean)
	if m.Warning != "" {
		fmt.Fprintln(out, "  doubtful:", m.Warning)
	}
	if o.keep {
		fmt.Fprintln(out, "  kept; takeweave undo takes it back")
	} else {
		fmt.Fprintln(out, "  not kept: add --keep")
	}
}
