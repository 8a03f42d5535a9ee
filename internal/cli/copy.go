package cli

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"takeweave/internal/film"
	"takeweave/internal/job"
)

func (a *app) copyCommand() *cobra.Command {
	var c job.CardCopy
	cmd := &cobra.Command{
		Use: "copy CARD DIR", Short: "Copy a card to two places at once, prove the copies, write a receipt",
		Long: `Copies a camera's card into the film's folder of clips and to the folders named with
--second, reading it once. Then every copy is read again from its own drive and
compared. The receipt says whether the card may be wiped; it may only when every byte
was read back equal from two different drives. Nothing is ever deleted, overwritten or
formatted here: wiping is done in the camera, by hand.

A copy that was interrupted goes on when the same command is given again.

` + exitCodes,
		Example: "  takeweave copy /media/CARD slow-ferry --second /media/backup/slow-ferry\n  takeweave copy /media/CARD slow-ferry --second /media/b --second /media/c --cannot-repeat",
		Args:    exactly(2, "the card and the film: takeweave copy CARD DIR --second FOLDER"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(c.Others) == 0 {
				return &film.Error{Code: film.CodeUsage, Msg: "one copy is no copy", Hint: "name a folder on another drive with --second"}
			}
			c.Card = args[0]
			return a.withFilm(cmd.Context(), args[1], func(w *job.Work) error {
				r, err := w.CopyCard(cmd.Context(), c, buildVersion())
				if err != nil {
					return err
				}
				a.partly = !r.MayBeWiped
				return a.show(r, func(out io.Writer) { sayReceipt(out, r) })
			})
		},
	}
	f := cmd.Flags()
	f.StringArrayVar(&c.Others, "second", nil, "another folder, on another drive; may be given several times")
	f.StringVar(&c.Name, "as", "", "the name of the copy in each place (default: that of the card's folder)")
	f.BoolVar(&c.CannotRepeat, "cannot-repeat", false, "what is on it cannot be filmed again: three drives are wanted")
	f.BoolVar(&c.Repair, "repair", false, "put a whole file in the place of a damaged copy; the damaged one is set aside")
	f.BoolVar(&c.Twice, "twice", false, "read the card itself a second time as well")
	return cmd
}

func sayReceipt(out io.Writer, r job.Copied) {
	fmt.Fprintln(out, r.Verdict)
	for _, why := range r.Why {
		fmt.Fprintln(out, "  because", why)
	}
	for _, p := range r.Problems {
		fmt.Fprintf(out, "  %s %s\n", p.Path, p.What)
		if p.Hint != "" {
			fmt.Fprintln(out, "    ", p.Hint)
		}
	}
	for _, list := range []struct {
		words string
		files []string
	}{{"new on the card", r.Grew}, {"no longer on the card", r.Lost}, {"changed on the card", r.Changed}, {"not in the log", r.Unlogged}} {
		for _, f := range list.files {
			fmt.Fprintf(out, "  %s: %s\n", list.words, f)
		}
	}
	for _, n := range r.Notes {
		fmt.Fprintln(out, " ", n)
	}
	for _, p := range r.Places {
		fmt.Fprintf(out, "  %s: %d of %d files proven\n", p.Folder, p.Proven, len(r.Files))
	}
	fmt.Fprintln(out, "Receipt:", r.Page)
}

func (a *app) verifyCommand() *cobra.Command {
	return &cobra.Command{
		Use: "verify FOLDER", Short: "Compare a copied folder with its hash lists, years later too",
		Long: `Reads every file of a folder that was copied with proof, and compares it with the
hash lists beside it. Nothing is written.

` + exitCodes,
		Example: "  takeweave verify /media/backup/slow-ferry/CARD",
		Args:    exactly(1, "a folder: takeweave verify FOLDER"),
		RunE: func(cmd *cobra.Command, args []string) error {
			progress, end := a.progress()
			defer end()
			c, err := job.VerifyCopy(cmd.Context(), args[0], progress)
			if err != nil {
				return err
			}
			a.partly = !c.Good()
			return a.show(c, func(out io.Writer) {
				fmt.Fprintln(out, c.Verdict)
				for _, list := range []struct {
					words string
					files []string
				}{{"missing", c.Missing}, {"changed", c.Changed}, {"new since", c.New}} {
					for _, f := range list.files {
						fmt.Fprintf(out, "  %s: %s\n", list.words, f)
					}
				}
				for _, p := range c.Unreadable {
					fmt.Fprintln(out, "  cannot be read:", p.Path, p.What)
				}
			})
		},
	}
}
