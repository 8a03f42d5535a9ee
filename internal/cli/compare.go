package cli

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"takeweave/internal/cut"
	"takeweave/internal/film"
	"takeweave/internal/job"
)

// compared is what a cut that came home says.
type compared struct {
	Changed []string     `json:"changed"`              // what differs, in words
	Notes   []string     `json:"notes,omitempty"`      // what was not understood
	Pinned  *job.Decided `json:"pinned,omitempty"`     // with --pin
	Left    []string     `json:"not_pinned,omitempty"` // with --pin: what could not become a pin
}

func (a *app) compareCommand() *cobra.Command {
	var order string
	var pin bool
	cmd := &cobra.Command{
		Use: "compare DIR FILE", Short: "Tell what another program changed in the cut, and take it over as pins",
		Long: `Compares a timeline (.otio) or table (.csv) that export wrote and another program
changed with the present cut. With --pin, other passes and moved cuts are taken
over as pins; what cannot be is told.

` + exitCodes,
		Example: "  takeweave compare slow-ferry changed.otio\n  takeweave compare slow-ferry changed.otio --pin",
		Args:    exactly(2, "the folder of the film and the file: takeweave compare DIR FILE"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.withFilm(cmd.Context(), args[0], func(w *job.Work) error {
				ctx := cmd.Context()
				found, notes, err := w.ChangedElsewhere(ctx, order, args[1], cut.Options{})
				if err != nil {
					return err
				}
				c := compared{Changed: []string{}, Notes: notes}
				for _, d := range found {
					c.Changed = append(c.Changed, d.Say)
				}
				if pin {
					if order != job.WholeFilm {
						return &film.Error{Code: film.CodeUsage, Msg: "pins hold for all films that were ordered", Hint: "compare the whole film"}
					}
					d, left, err := w.ComeHome(ctx, order, found)
					if err != nil {
						return err
					}
					c.Pinned, c.Left = &d, left
				}
				return a.show(c, func(out io.Writer) { sayCompared(out, c) })
			})
		},
	}
	addOrderFlag(cmd, &order)
	cmd.Flags().BoolVar(&pin, "pin", false, "take the changes over as pins")
	return cmd
}

func sayCompared(out io.Writer, c compared) {
	for _, s := range c.Changed {
		fmt.Fprintln(out, "  "+s)
	}
	if len(c.Changed) == 0 {
		fmt.Fprintln(out, "Nothing was changed.")
	}
	for _, s := range c.Notes {
		fmt.Fprintln(out, "Note: "+s)
	}
	if c.Pinned != nil {
		sayDecided(out, *c.Pinned)
	}
	for _, s := range c.Left {
		fmt.Fprintln(out, "Not pinned: "+s)
	}
}
