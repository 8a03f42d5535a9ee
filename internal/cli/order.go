package cli

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"takeweave/internal/film"
	"takeweave/internal/job"
	"takeweave/internal/media"
)

func (a *app) orderCommand() *cobra.Command {
	var shape, part, drop, coding string
	var letters []string
	var seconds float64
	cmd := &cobra.Command{
		Use:   "order DIR",
		Short: "Ask for the film in another shape, or for a part of it",
		Long: `Lists the films that are wanted, or asks for another: in another frame shape,
of the whole song or of a part. Each has a cut of its own from the same evidence.
run and handover make all of them. Ordering the same shape and part again changes
what is written into it; without --shape the film as it was filmed is meant.

The title card stands before the first sung word, the credits after the last, the
captions over every line; none covers a mouth that "takeweave picture" has found.

` + exitCodes,
		Example: "  takeweave order slow-ferry --shape 9:16\n  takeweave order slow-ferry --shape 1:1 --part B1 --seconds 30\n  takeweave order slow-ferry --letters title,credits\n  takeweave order slow-ferry --coding prores\n  takeweave order slow-ferry --drop 9x16",
		Args:    exactly(1, "the folder of the film: takeweave order DIR"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.withFilm(cmd.Context(), args[0], func(w *job.Work) error {
				switch {
				case shape != "" && drop != "":
					return &film.Error{Code: film.CodeUsage, Msg: "--shape and --drop exclude each other", Hint: "give one of them"}
				case shape != "" || part != "" || seconds != 0 || coding != "" || cmd.Flags().Changed("letters"):
					o := job.Order{Shape: film.Shape(shape), Part: part, Seconds: seconds, Coding: media.Codec(coding)}
					for _, l := range letters {
						o.Letters = append(o.Letters, job.Lettering(l))
					}
					if _, err := w.AddOrder(cmd.Context(), o); err != nil {
						return err
					}
				case drop != "":
					if err := w.DropOrder(cmd.Context(), drop); err != nil {
						return err
					}
				}
				orders, err := w.Orders(cmd.Context())
				if err != nil {
					return err
				}
				return a.show(orders, func(out io.Writer) { sayOrders(out, orders) })
			})
		},
	}
	f := cmd.Flags()
	f.StringVar(&shape, "shape", "", "a frame shape, width to height: 16:9, 2.39:1, 9:16, 4:5, 1:1")
	f.StringVar(&part, "part", "", "only this part: a section (B1), a line (B1.2), from one to another (A2.3-B1) or seconds (62-92)")
	f.Float64Var(&seconds, "seconds", 0, "at most so many seconds from the beginning of the part, ending with a bar where one ends near")
	f.StringSliceVar(&letters, "letters", nil, "what is written into the picture: title, credits, captions")
	f.StringVar(&coding, "coding", "", "how it is coded: h264 (the default), hevc, or prores to work on with")
	f.StringVar(&drop, "drop", "", "take this order back")
	return cmd
}

func sayOrders(out io.Writer, orders []job.Order) {
	t := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	for _, o := range orders {
		shape, part := string(o.Shape), o.Part
		if shape == "" {
			shape = "as filmed"
		}
		if part == "" {
			part = "the whole song"
		}
		if o.Seconds > 0 {
			part += fmt.Sprintf(", at most %g s", o.Seconds)
		}
		var letters []string
		for _, l := range o.Letters {
			letters = append(letters, string(l))
		}
		fmt.Fprintf(t, "  %s\t%s\t%s\t%s\t%s\n", o.ID, shape, part, strings.Join(letters, ", "), o.Coding)
	}
	_ = t.Flush()
}
