package cli

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"takeweave/internal/cut"
	"takeweave/internal/demo"
	"takeweave/internal/film"
	"takeweave/internal/job"
	"takeweave/internal/media"
	"takeweave/internal/songmap"
	"takeweave/internal/store"
	"takeweave/internal/titles"
)

func (a *app) demoCommand() *cobra.Command {
	var seed uint64
	cmd := &cobra.Command{
		Use:   "demo DIR",
		Short: "Make an invented film day and a film from it, start to end",
		Long: `Invents a film day (song, playing, picture and all, drawn and played by the
program itself), goes through the whole job with it, and measures from the
finished film's own pictures how well hands and record agree.

` + exitCodes,
		Example: "  takeweave demo demo-film",
		Args:    exactly(1, "a folder for the demo: takeweave demo DIR"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.demo(cmd.Context(), args[0], seed)
		},
	}
	cmd.Flags().Uint64Var(&seed, "seed", 0, "another invented day (default: the standard one)")
	return cmd
}

func (a *app) demo(ctx context.Context, dir string, seed uint64) error {
	began := time.Now()
	e, err := a.findEngine(ctx)
	if err != nil {
		return err
	}
	if !a.json {
		fmt.Fprintln(a.errs, e.Describe())
	}
	progress, end := a.progress()
	defer end()
	dayDir := filepath.Join(dir, "day")
	day, err := makeDay(ctx, e, dayDir, seed, progress)
	if err != nil {
		return err
	}
	s, err := openOrCreate(ctx, e, filepath.Join(dir, "slow-ferry-home"), filepath.Join(dayDir, day.Song))
	if err != nil {
		return err
	}
	defer s.Close()
	return withLock(s, func() error {
		w := job.New(s, e, progress)
		if err := w.SetClips(ctx, filepath.Join(dayDir, "clips")); err != nil {
			return err
		}
		if err := typeIn(ctx, w, day); err != nil {
			return err
		}
		done, err := a.wholeJob(ctx, w, cut.Options{})
		if err != nil {
			return err
		}
		sparks, err := measureSparks(ctx, w, done.handedOver.Film, day, done.cut)
		if err != nil {
			return err
		}
		result := struct {
			job.HandedOver
			Sparks  demo.SparkSummary `json:"sparks"`
			Seconds float64           `json:"seconds"`
		}{done.handedOver, sparks, time.Since(began).Seconds()}
		return a.show(result, func(out io.Writer) {
			a.sayWholeJob(out, w, done)
			fmt.Fprintf(out, "\nMeasured from the film's own pictures, %d of %d plucks seen by their spark:\nhands and record part by %.0f ms (median), %.0f ms at 95 of 100 plucks.\n", sparks.Seen, sparks.Plucks, sparks.MedianMS, sparks.P95MS)
			fmt.Fprintf(out, "\nAll of it took %s.\n", minutes(result.Seconds))
			sayWhere(out, done.handedOver)
			at := relative(filepath.Join(dir, "slow-ferry-home"))
			fmt.Fprintf(out, "\nTo look at it, hear it and bend it: %s serve %s\nHow that day was planned: %s plan %s\n", programName(), at, programName(), at)
		})
	})
}

// typeIn is what the person types in: names, the plan and the lyrics, unless
// something was decided before.
func typeIn(ctx context.Context, w *job.Work, day demo.Day) error {
	decided, err := w.Store.Decisions(ctx)
	if err != nil || len(decided) > 0 {
		return err
	}
	facts := titles.Facts{Artist: day.Player, Title: day.Title, Writers: []string{day.Player}, Place: "the net loft"}
	if err := w.SetFacts(ctx, facts); err != nil {
		return err
	}
	if err := w.SetPlan(ctx, day.Before(), "the plan of the day"); err != nil {
		return err
	}
	return typeLyrics(ctx, w, day)
}

// typeLyrics lays the lyrics on the song.
func typeLyrics(ctx context.Context, w *job.Work, day demo.Day) error {
	var text strings.Builder
	section := ""
	inOrder := func(a, b demo.Line) int { return cmp.Compare(a.Span.From, b.Span.From) }
	for _, l := range slices.SortedFunc(slices.Values(day.Lines), inOrder) {
		if l.Section != section {
			section = l.Section
			text.WriteString("\n")
		}
		text.WriteString(l.Text + "\n")
	}
	_, err := w.EditSong(ctx, songmap.Edit{Change: songmap.Lyrics{Text: text.String()}})
	return err
}

// makeDay makes the invented day, unless it already lies there whole.
func makeDay(ctx context.Context, e *media.Engine, dir string, seed uint64, progress *job.Progress) (demo.Day, error) {
	if day, err := demo.ReadTruth(filepath.Join(dir, "truth.json")); err == nil && (seed == 0 || day.Seed == seed) {
		return day, nil
	}
	stage := progress.Stage("film day", 100, "%")
	defer stage.End()
	part := stage.Part(100)
	return demo.Make(ctx, e, dir, demo.Options{Seed: seed}, func(done float64, note string) {
		part(done)
		stage.Note(note)
	})
}

func openOrCreate(ctx context.Context, e *media.Engine, dir, record string) (*store.Store, error) {
	s, err := store.Open(ctx, dir)
	if film.CodeOf(err) == film.CodeNotAFilm {
		return job.Create(ctx, e, dir, record)
	}
	return s, err
}

// measureSparks reads the finished film's pictures.
func measureSparks(ctx context.Context, w *job.Work, path string, day demo.Day, c film.Cut) (demo.SparkSummary, error) {
	stage := w.Progress.Stage("measure", float64(c.Frames), "frames")
	defer stage.End()
	frames := func(ctx context.Context, width, height int, visit func(int, []byte) error) error {
		return w.Engine.Frames(ctx, path, media.FramesOptions{Width: width, Height: height, Format: media.Gray}, func(i int, pix []byte) error {
			stage.Add(1)
			return visit(i, pix)
		})
	}
	all, err := demo.MeasureSparks(ctx, frames, day, c)
	if err != nil {
		return demo.SparkSummary{}, errors.Join(errors.New("the film's sync could not be read from its pictures"), err)
	}
	return demo.SummariseSparks(all), nil
}

// programName is how the program was called, as far as that can be typed again.
func programName() string {
	if len(os.Args) > 0 && os.Args[0] != "" {
		return os.Args[0]
	}
	return "takeweave"
}
