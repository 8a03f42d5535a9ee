package cli

import (
	"context"
	"fmt"
	"io"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"takeweave/internal/film"
	"takeweave/internal/job"
)

// deciding makes a command decide something and tell what it changed.
func (a *app) deciding(cmd *cobra.Command, do func(ctx context.Context, w *job.Work) (job.Decided, error)) *cobra.Command {
	cmd.Long = cmd.Short + ".\n\n" + exitCodes
	cmd.Args = exactly(1, "the folder of the film: takeweave "+cmd.Use)
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		return a.withFilm(cmd.Context(), args[0], func(w *job.Work) error {
			d, err := do(cmd.Context(), w)
			if err != nil {
				return err
			}
			return a.show(d, func(out io.Writer) { sayDecided(out, d) })
		})
	}
	return cmd
}

func sayDecided(out io.Writer, d job.Decided) {
	fmt.Fprintln(out, d.Words)
	for _, c := range d.Changes {
		fmt.Fprintln(out, "  "+c)
	}
}

func (a *app) undoCommand() *cobra.Command {
	return a.deciding(&cobra.Command{Use: "undo DIR", Short: "Take the latest decision back"},
		func(ctx context.Context, w *job.Work) (job.Decided, error) { return w.Undo(ctx) })
}

func (a *app) redoCommand() *cobra.Command {
	return a.deciding(&cobra.Command{Use: "redo DIR", Short: "Make the decision that was undone last again"},
		func(ctx context.Context, w *job.Work) (job.Decided, error) { return w.Redo(ctx) })
}

// pinOptions are the flags of pin.
type pinOptions struct {
	in, at, showPass, showSetup, notPass, notSetup, allow string
	noCut, strong                                         bool
	drop                                                  int64
}

func (a *app) pinCommand() *cobra.Command {
	var o pinOptions
	cmd := &cobra.Command{
		Use:   "pin DIR",
		Short: "Decide something about the cut; the rest heals around it",
		Long: `Lists the pins, or adds one. A pin is never moved: the rest of the cut heals
around it, and the answer says what changed. Undo takes it back.

` + exitCodes,
		Example: `  takeweave pin slow-ferry --show C0017 --in A2.3
  takeweave pin slow-ferry --show-setup face --in A2.3/2-4 --strong
  takeweave pin slow-ferry --never C0012 --in B1
  takeweave pin slow-ferry --cut-at A2.3/1
  takeweave pin slow-ferry --allow C0017 --in A2.3
  takeweave pin slow-ferry --drop 3`,
		Args: exactly(1, "the folder of the film: takeweave pin DIR"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.withFilm(cmd.Context(), args[0], func(w *job.Work) error { return a.pin(cmd, w, o) })
		},
	}
	f := cmd.Flags()
	f.StringVar(&o.in, "in", "", "where: a section (A2), a line (A2.3), beats (A2.3/2-4), from one place to another or seconds (12.5-14)")
	f.StringVar(&o.showPass, "show", "", "this pass is seen there")
	f.StringVar(&o.showSetup, "show-setup", "", "this setup is seen there")
	f.StringVar(&o.notPass, "never", "", "this pass is never seen there")
	f.StringVar(&o.notSetup, "never-setup", "", "this setup is never seen there")
	f.StringVar(&o.allow, "allow", "", "this pass may be seen there although it was refused")
	f.StringVar(&o.at, "cut-at", "", "a cut falls exactly here: a beat (A2.3/1) or seconds")
	f.BoolVar(&o.noCut, "no-cut", false, "no cut falls inside")
	f.BoolVar(&o.strong, "strong", false, "a promise: kept even where the shot is shorter than wished or parts further than tolerated")
	f.Int64Var(&o.drop, "drop", 0, "take the pin with this number away")
	return cmd
}

func (a *app) pin(cmd *cobra.Command, w *job.Work, o pinOptions) error {
	if o.drop != 0 {
		d, err := w.Unpin(cmd.Context(), o.drop)
		if err != nil {
			return err
		}
		return a.show(d, func(out io.Writer) { sayDecided(out, d) })
	}
	p, err := o.pin()
	if err != nil {
		return err
	}
	if p.Kind == "" {
		pins, err := w.Pins(cmd.Context())
		if err != nil {
			return err
		}
		return a.show(pins, func(out io.Writer) {
			for _, p := range pins {
				fmt.Fprintln(out, "  "+p.Say())
			}
			if len(pins) == 0 {
				fmt.Fprintln(out, "There are no pins.")
			}
		})
	}
	song, err := w.Song(cmd.Context())
	if err != nil {
		return err
	}
	where := o.in
	if p.Kind == film.PinCut {
		where = o.at
	}
	if p.Span, err = song.SpanOf(where); err != nil {
		return err
	}
	if p.Kind == film.PinCut {
		p.Span.To = p.Span.From
	}
	p.Said = where
	if p.Pass != "" {
		if p.Pass, err = w.PassNamed(cmd.Context(), p.Pass); err != nil {
			return err
		}
	}
	d, err := w.Pin(cmd.Context(), p)
	if err != nil {
		return err
	}
	return a.show(d, func(out io.Writer) { sayDecided(out, d) })
}

// pin returns the pin that the flags ask for, without its place; its kind is ""
// when they ask for none.
func (o pinOptions) pin() (film.Pin, error) {
	p := film.Pin{Strong: o.strong}
	asked := 0
	ask := func(on bool, kind film.PinKind, pass, setup string) {
		if on {
			asked++
			p.Kind, p.Pass, p.Name = kind, pass, setup
		}
	}
	ask(o.showPass != "", film.PinShowPass, o.showPass, "")
	ask(o.showSetup != "", film.PinShowSetup, "", o.showSetup)
	ask(o.notPass != "", film.PinNotPass, o.notPass, "")
	ask(o.notSetup != "", film.PinNotSetup, "", o.notSetup)
	ask(o.allow != "", film.PinOverrule, o.allow, "")
	ask(o.at != "", film.PinCut, "", "")
	ask(o.noCut, film.PinNoCut, "", "")
	switch {
	case asked > 1:
		return p, &film.Error{Code: film.CodeUsage, Msg: "asks for several pins at once", Hint: "give them one by one"}
	case asked == 0 && (o.in != "" || o.strong):
		return p, &film.Error{Code: film.CodeUsage, Msg: "says where, but not what", Hint: "add what is pinned, for example --show PASS"}
	case asked == 1 && p.Kind != film.PinCut && o.in == "":
		return p, &film.Error{Code: film.CodeUsage, Msg: "says what, but not where", Hint: "add where, for example --in A2.3"}
	}
	return p, nil
}

func (a *app) whyCommand() *cobra.Command {
	var order, pass, at string
	cmd := &cobra.Command{
		Use: "why DIR", Short: "Say why a pass is not seen at a moment",
		Long:    "Says in one sentence with a number why a pass is not seen at a moment of the cut.\n\n" + exitCodes,
		Example: "  takeweave why slow-ferry --pass C0017 --at A2.3/4",
		Args:    exactly(1, "the folder of the film: takeweave why DIR"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.withFilm(cmd.Context(), args[0], func(w *job.Work) error {
				song, err := w.Song(cmd.Context())
				if err != nil {
					return err
				}
				span, err := song.SpanOf(at)
				if err != nil {
					return err
				}
				says, err := w.WhyNot(cmd.Context(), order, pass, span.From)
				if err != nil {
					return err
				}
				return a.show(map[string]string{"why": says}, func(out io.Writer) { fmt.Fprintln(out, says) })
			})
		},
	}
	cmd.Flags().StringVar(&pass, "pass", "", "the pass")
	cmd.Flags().StringVar(&at, "at", "", "where: a beat (A2.3/4), a line (its beginning) or seconds")
	addOrderFlag(cmd, &order)
	return cmd
}

// other is an alternative as it is told.
type other struct {
	Says      string      `json:"says"`
	Costs     string      `json:"costs"`
	Total     float64     `json:"total"`
	Elsewhere float64     `json:"elsewhere"`
	Shots     []film.Shot `json:"shots"` // those in the stretch
}

func (a *app) othersCommand() *cobra.Command {
	var order, in string
	var most int
	cmd := &cobra.Command{
		Use: "others DIR", Short: "Show other ways to cut a line, and what each would cost",
		Long:    "Shows the best other ways to cut a stretch of the song, with what each would cost there and elsewhere. The unit of cost is one cut on a weak beat.\n\n" + exitCodes,
		Example: "  takeweave others slow-ferry --in A2.3",
		Args:    exactly(1, "the folder of the film: takeweave others DIR"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.withFilm(cmd.Context(), args[0], func(w *job.Work) error {
				song, err := w.Song(cmd.Context())
				if err != nil {
					return err
				}
				span, err := song.SpanOf(in)
				if err != nil {
					return err
				}
				found, err := w.Others(cmd.Context(), order, span, most)
				if err != nil {
					return err
				}
				all := []other{}
				for _, f := range found {
					n := other{Says: f.Says, Costs: f.Costs.Says, Total: f.Costs.Total, Elsewhere: f.Costs.Elsewhere}
					for _, s := range f.Cut.Shots {
						if f.Cut.At(s.First) < span.To && f.Cut.At(s.End) > span.From {
							n.Shots = append(n.Shots, s)
						}
					}
					all = append(all, n)
				}
				return a.show(all, func(out io.Writer) {
					t := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
					for _, n := range all {
						fmt.Fprintf(t, "  %s\t%s\n", n.Says, n.Costs)
					}
					_ = t.Flush()
					if len(all) == 0 {
						fmt.Fprintln(out, "There is no other way.")
					}
				})
			})
		},
	}
	cmd.Flags().StringVar(&in, "in", "", "where: a line (A2.3), a section (A2) or another stretch")
	cmd.Flags().IntVar(&most, "most", 5, "at most so many")
	addOrderFlag(cmd, &order)
	return cmd
}
