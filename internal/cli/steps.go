package cli

import (
	"context"
	"fmt"
	"io"
	"path/filepath"

	"github.com/spf13/cobra"

	"takeweave/internal/cut"
	"takeweave/internal/film"
	"takeweave/internal/handover"
	"takeweave/internal/job"
)

// stepOptions are the flags that the steps share.
type stepOptions struct {
	clips, rate, size string
	order             string // which of the ordered films
	cut               cut.Options
}

// stepCommand makes the command of one step. Each first does what it needs and
// is not done yet.
func (a *app) stepCommand(name, short, long string, withCut bool, do func(cmd *cobra.Command, w *job.Work, o stepOptions) error) *cobra.Command {
	var o stepOptions
	cmd := &cobra.Command{
		Use:   name + " DIR",
		Short: short,
		Long:  long + "\n\n" + exitCodes,
		Args:  exactly(1, "the folder of the film: takeweave "+name+" DIR"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.withFilm(cmd.Context(), args[0], func(w *job.Work) error {
				if o.clips != "" {
					if err := w.SetClips(cmd.Context(), o.clips); err != nil {
						return err
					}
				}
				if err := w.SetFormat(cmd.Context(), o.rate, o.size); err != nil {
					return err
				}
				return do(cmd, w, o)
			})
		},
	}
	if name != "song" {
		cmd.Flags().StringVar(&o.clips, "clips", "", "the folder of camera files, subfolders named after their setup (kept for the next time)")
	}
	if name == "cut" {
		addOrderFlag(cmd, &o.order)
	}
	if withCut {
		addFormatFlags(cmd, &o.rate, &o.size)
		addCutFlags(cmd, &o.cut)
	}
	return cmd
}

func addOrderFlag(cmd *cobra.Command, order *string) {
	cmd.Flags().StringVar(order, "of", job.WholeFilm, "which of the ordered films, such as 9x16 (takeweave order DIR lists them)")
}

func addCutFlags(cmd *cobra.Command, o *cut.Options) {
	f := cmd.Flags()
	f.Float64Var(&o.MinShot, "shortest", 0, "shortest shot in seconds (default 0.6)")
	f.Float64Var(&o.MaxShot, "longest", 0, "longest shot in seconds (default 9.0)")
	f.Float64Var(&o.WantShot, "wanted", 0, "wanted length of a shot in seconds (default 4.0)")
	f.Float64Var(&o.MaxSpeed, "speed", 0, "largest change of speed a shot may have, 0.02 is 2 %, within what its setup allows (default 0: native speed only)")
	f.IntVar(&o.HandleFrames, "handles", 0, "each clip has so many film frames more on either side of its shot")
}

func (a *app) songCommand() *cobra.Command {
	return a.stepCommand("song", "Map the record: beats, bars, lines, sections", "Listens to the record and maps its beats, bars, lines and sections.", false,
		func(cmd *cobra.Command, w *job.Work, _ stepOptions) error {
			s, err := w.Song(cmd.Context())
			if err != nil {
				return err
			}
			return a.show(s, func(out io.Writer) {
				a.sayDone(out, w.Did("song"))
				sayHowSong(out, s)
			})
		})
}

func (a *app) lineUpCommand() *cobra.Command {
	var explain string
	cmd := a.stepCommand("lineup", "Line every pass up with the record", "Takes in the clips and lines every pass up with the record. A clip that is not surely this song is refused, with the reason.", false,
		func(cmd *cobra.Command, w *job.Work, _ stepOptions) error {
			if explain != "" {
				e, err := w.Explain(cmd.Context(), explain)
				if err != nil {
					return err
				}
				return a.show(e, func(out io.Writer) { sayExplained(out, e) })
			}
			passes, err := w.LineUp(cmd.Context())
			if err != nil {
				return err
			}
			a.notePasses(passes)
			return a.show(passes, func(out io.Writer) {
				a.sayDone(out, w.Did("lineup"))
				sayPasses(out, passes, false)
			})
		})
	cmd.Flags().StringVar(&explain, "explain", "", "tell where this pass agrees and where not, and write a file for checking by ear")
	cmd.Example = "  takeweave lineup slow-ferry --clips /cards/day1\n  takeweave lineup slow-ferry --explain C0017"
	return cmd
}

func (a *app) agreeCommand() *cobra.Command {
	return a.stepCommand("agree", "Judge where each pass agrees with the record", "Judges, every 50 ms, whether what is played in each pass agrees with the record, and says why where it does not.", false,
		func(cmd *cobra.Command, w *job.Work, _ stepOptions) error {
			passes, err := w.Agree(cmd.Context())
			if err != nil {
				return err
			}
			a.notePasses(passes)
			return a.show(passes, func(out io.Writer) {
				a.sayDone(out, w.Did("agree"))
				sayPasses(out, passes, true)
			})
		})
}

func (a *app) pictureCommand() *cobra.Command {
	return a.stepCommand("picture", "Look at the pictures: sharpness, light, shake, faces", "Looks at the pictures of every pass: sharpness, light, shake and faces. The cut then prefers good pictures, and ordered shapes follow the face. Optional; it decodes all clips once.", false,
		func(cmd *cobra.Command, w *job.Work, _ stepOptions) error {
			if err := w.View(cmd.Context()); err != nil {
				return err
			}
			seen, err := w.Pictures(cmd.Context())
			if err != nil {
				return err
			}
			return a.show(seen, func(out io.Writer) {
				a.sayDone(out, w.Did("picture"))
				sayPictures(out, seen)
			})
		})
}

func (a *app) cutCommand() *cobra.Command {
	return a.stepCommand("cut", "Find the best sequence of shots", "Finds the best sequence of shots: only moments that agree where any do, cuts on beats, no shot longer than it stays in sync.", true,
		func(cmd *cobra.Command, w *job.Work, o stepOptions) error {
			c, err := w.Cut(cmd.Context(), o.order, o.cut)
			if err != nil {
				return err
			}
			song, err := w.Song(cmd.Context())
			if err != nil {
				return err
			}
			a.noteCut(c, song)
			return a.show(c, func(out io.Writer) {
				a.sayDone(out, w.Did("cut"))
				sayCut(out, c, song)
			})
		})
}

func (a *app) handoverCommand() *cobra.Command {
	return a.stepCommand("handover", "Render the film and write the report", "Renders the cut under the record to out/film.mp4 and writes out/report.html.", true,
		func(cmd *cobra.Command, w *job.Work, o stepOptions) error { return a.finish(cmd, w, o) })
}

func (a *app) runCommand() *cobra.Command {
	cmd := a.stepCommand("run", "Everything, from the clips to the finished film", "Does all steps, from the folder of camera files to the finished film and its report.", true,
		func(cmd *cobra.Command, w *job.Work, o stepOptions) error { return a.finish(cmd, w, o) })
	cmd.Example = "  takeweave run slow-ferry --clips /cards/day1\n  takeweave run slow-ferry --clips /cards/day1 --rate 25 --wanted 3"
	return cmd
}

// finish runs every step to the finished film and tells about it.
func (a *app) finish(cmd *cobra.Command, w *job.Work, o stepOptions) error {
	if !a.json {
		fmt.Fprintln(a.errs, w.Engine.Describe())
	}
	done, err := a.wholeJob(cmd.Context(), w, o.cut)
	if err != nil {
		return err
	}
	return a.show(done.handedOver, func(out io.Writer) {
		a.sayWholeJob(out, w, done)
		sayWhere(out, done.handedOver)
	})
}

// wholeJobDone is what the whole job found.
type wholeJobDone struct {
	song       film.Song
	passes     []job.Pass
	cut        film.Cut
	handedOver job.HandedOver
}

// wholeJob does every step and remembers for the exit code what fell short.
func (a *app) wholeJob(ctx context.Context, w *job.Work, o cut.Options) (d wholeJobDone, err error) {
	if d.song, err = w.Song(ctx); err != nil {
		return d, err
	}
	if d.passes, err = w.Agree(ctx); err != nil {
		return d, err
	}
	if d.cut, err = w.Cut(ctx, job.WholeFilm, o); err != nil {
		return d, err
	}
	if d.handedOver, err = w.Handover(ctx, o); err != nil {
		return d, err
	}
	a.notePasses(d.passes)
	a.noteCut(d.cut, d.song)
	return d, nil
}

func (a *app) sayWholeJob(out io.Writer, w *job.Work, d wholeJobDone) {
	sayHowSong(out, d.song)
	sayPasses(out, d.passes, true)
	fmt.Fprintln(out)
	if w.Did("handover").Made == 0 {
		fmt.Fprintln(out, "Nothing to do again: the film was already made from the same input.")
	}
	sayFigures(out, d.handedOver)
}

func sayWhere(out io.Writer, h job.HandedOver) {
	for _, f := range append([]job.HandedOver{h}, h.Others...) {
		fmt.Fprintf(out, "\nFilm:   %s\nReport: %s\n", relative(f.Film), relative(f.Report))
	}
}

// notePasses remembers for the exit code that some clips could not be used.
func (a *app) notePasses(passes []job.Pass) {
	for _, p := range passes {
		if p.Clip.Refusal != "" {
			a.partly = true
		}
	}
}

// noteCut remembers for the exit code that some moments could not be shown
// as they should.
func (a *app) noteCut(c film.Cut, song film.Song) {
	f := handover.FiguresOf(c, song)
	if f.NotAgreeing > 0 || f.Holes > 0 {
		a.partly = true
	}
}

// sayDone says so when a step had nothing to do again.
func (a *app) sayDone(out io.Writer, d job.Done) {
	if d.Made == 0 && d.Found > 0 {
		fmt.Fprintln(out, "Nothing to do again: already done with the same input.")
	}
}

func (a *app) versionCommand() *cobra.Command {
	return &cobra.Command{
		Use: "version", Short: "Print the version", Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			v := buildVersion()
			return a.show(map[string]string{"version": v}, func(w io.Writer) { fmt.Fprintln(w, "takeweave", v) })
		},
	}
}

func (a *app) exportCommand() *cobra.Command {
	var what, order string
	var o cut.Options
	cmd := &cobra.Command{
		Use:     "export DIR --what lineup|cut|song|otio|csv",
		Short:   "Print what was found as JSON, or the cut for other programs",
		Long:    "Prints line-up with agreement, the cut, or the map of the song as JSON; the cut also as an OpenTimelineIO timeline or as a table. docs/formats.md describes each form.\n\n" + exitCodes,
		Example: "  takeweave export slow-ferry --what lineup > lineup.json",
		Args:    exactly(1, "the folder of the film: takeweave export DIR --what lineup|cut|song|otio|csv"),
		RunE: func(cmd *cobra.Command, args []string) error {
			switch what {
			case "lineup", "cut", "song", "otio", "csv":
			default:
				return &film.Error{Code: film.CodeUsage, Msg: fmt.Sprintf("--what is %q", what), Hint: "choose --what lineup, cut, song, otio or csv"}
			}
			return a.withFilm(cmd.Context(), args[0], func(w *job.Work) error {
				var v any
				var text []byte
				var err error
				switch what {
				case "otio":
					text, err = w.Timeline(cmd.Context(), order, o)
				case "csv":
					text, err = w.Table(cmd.Context(), order, o)
				case "lineup":
					v, err = w.ExportLineUp(cmd.Context())
				case "cut":
					v, err = w.Cut(cmd.Context(), order, o)
				case "song":
					v, err = w.Song(cmd.Context())
				}
				if err != nil {
					return err
				}
				if text != nil {
					_, err := a.out.Write(text)
					return err
				}
				return printJSON(a.out, v)
			})
		},
	}
	cmd.Flags().StringVar(&what, "what", "", "lineup, cut, song, otio or csv")
	addOrderFlag(cmd, &order)
	addCutFlags(cmd, &o)
	return cmd
}

// relative shortens a path for people when it lies below the folder they are in.
func relative(p string) string {
	if wd, err := filepath.Abs("."); err == nil {
		if r, err := filepath.Rel(wd, p); err == nil && filepath.IsLocal(r) {
			return r
		}
	}
	return p
}
