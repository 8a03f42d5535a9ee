package cli

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"

	"github.com/spf13/cobra"

	"takeweave/internal/film"
	"takeweave/internal/job"
	"takeweave/internal/media"
	"takeweave/internal/store"
)

// The exit codes, as every help text lists them.
const (
	exitDone      = 0
	exitFailed    = 1
	exitUsage     = 2
	exitPartly    = 3
	exitCancelled = 130
)

const exitCodes = "Exit codes: 0 done, 1 failed, 2 wrong usage, 3 finished but some files could not be used or some moments not be shown, 130 cancelled."

// app is what the commands share.
type app struct {
	out, errs io.Writer
	json      bool
	engine    string
	partly    bool // something could not be used: exit code 3
}

// Run runs one command line and returns its exit code.
func Run(ctx context.Context, args []string, out, errs io.Writer) int {
	a := &app{out: out, errs: errs}
	root := a.command()
	root.SetArgs(args)
	root.SetOut(out)
	root.SetErr(errs)
	err := root.ExecuteContext(ctx)
	switch {
	case err == nil && a.partly:
		return exitPartly
	case err == nil:
		return exitDone
	case errors.Is(err, context.Canceled) || ctx.Err() != nil:
		fmt.Fprintln(errs, "takeweave: stopped; what was finished is kept, run the same command to go on")
		return exitCancelled
	}
	a.complain(err)
	if film.CodeOf(err) == film.CodeUsage || isUsage(err) {
		return exitUsage
	}
	return exitFailed
}

// usageError is a mistake in the command line that cobra found.
type usageError struct{ error }

func isUsage(err error) bool {
	var u usageError
	return errors.As(err, &u)
}

// complain says what happened and what to do, in words or as JSON.
func (a *app) complain(err error) {
	if a.json {
		_ = json.NewEncoder(a.errs).Encode(struct {
			Error string    `json:"error"`
			Code  film.Code `json:"code"`
			Hint  string    `json:"hint,omitempty"`
		}{err.Error(), film.CodeOf(err), film.HintOf(err)})
		return
	}
	fmt.Fprintln(a.errs, "takeweave: error:", err)
	hint := film.HintOf(err)
	if hint == "" && isUsage(err) {
		hint = "takeweave --help shows the commands"
	}
	if hint != "" {
		fmt.Fprintln(a.errs, "takeweave: hint:", hint)
	}
}

func (a *app) command() *cobra.Command {
	root := &cobra.Command{
		Use:   "takeweave",
		Short: "From a record and many filmed passes of one song to a film that agrees with it",
		Long: `takeweave lines up many filmed passes of one song with the record, finds the
moments in which the playing agrees with it, and cuts a film from them.

A film is a folder. In the order of the work:

  takeweave new slow-ferry --song master.wav     begin a film from the record
  takeweave plan slow-ferry                      before the day: what will not work
  takeweave serve slow-ferry --on-the-day        on the day: the phone's page
  takeweave copy /media/CARD slow-ferry --second /media/backup
  takeweave run slow-ferry --clips /cards/day1   everything, to the finished film
  takeweave lineup slow-ferry                    only one step: song, lineup, agree, cut or handover
  takeweave serve slow-ferry                     the song sheet, to bend the cut
  takeweave release slow-ferry                   named files, numbered versions

` + exitCodes,
		SilenceErrors: true,
		SilenceUsage:  true,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return nil
			}
			return &film.Error{Code: film.CodeUsage, Msg: fmt.Sprintf("there is no command %q", args[0]), Hint: "takeweave --help shows the commands"}
		},
		RunE: func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	root.SetFlagErrorFunc(func(_ *cobra.Command, err error) error { return usageError{err} })
	root.PersistentFlags().BoolVar(&a.json, "json", false, "print results as JSON and progress as JSON lines on the error stream")
	root.PersistentFlags().StringVar(&a.engine, "engine", "auto", "codec engine: auto, native or embedded")
	root.CompletionOptions.HiddenDefaultCmd = true
	root.AddCommand(
		a.newCommand(),
		a.planCommand(),
		a.logCommand(),
		a.copyCommand(),
		a.verifyCommand(),
		a.runCommand(),
		a.songCommand(),
		a.lineUpCommand(),
		a.agreeCommand(),
		a.pictureCommand(),
		a.cutCommand(),
		a.orderCommand(),
		a.pinCommand(),
		a.undoCommand(),
		a.redoCommand(),
		a.whyCommand(),
		a.othersCommand(),
		a.compareCommand(),
		a.handoverCommand(),
		a.factsCommand(),
		a.releaseCommand(),
		a.checkCommand(),
		a.loudnessCommand(),
		a.lookCommand(),
		a.matchCommand(),
		a.serveCommand(),
		a.watchCommand(),
		a.exportCommand(),
		a.demoCommand(),
		a.doctorCommand(),
		a.versionCommand(),
	)
	return root
}

// exactly is cobra.ExactArgs with our exit code and the usage in the message.
func exactly(n int, what string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if len(args) != n {
			return &film.Error{Code: film.CodeUsage, Msg: fmt.Sprintf("%s needs %s", cmd.CommandPath(), what), Hint: cmd.CommandPath() + " --help"}
		}
		return nil
	}
}

// changes reports whether a flag was given that asks for a change: any but those
// of every command and those named.
func changes(cmd *cobra.Command, but ...string) bool {
	flags := cmd.Flags()
	n := flags.NFlag()
	for _, name := range append(but, "json", "engine") {
		if flags.Changed(name) {
			n--
		}
	}
	return n > 0
}

// findEngine finds the codec engine that the flags ask for.
func (a *app) findEngine(ctx context.Context) (*media.Engine, error) {
	switch a.engine {
	case "auto", "native", "embedded":
	default:
		return nil, &film.Error{Code: film.CodeUsage, Msg: fmt.Sprintf("%q is not an engine", a.engine), Hint: "choose --engine auto, native or embedded"}
	}
	prefer := a.engine
	if prefer == "auto" {
		prefer = "" // leaves the choice to the environment variable, then to what is found
	}
	return media.Find(ctx, media.Options{Prefer: prefer})
}

// withFilm opens a film, takes it for this work, and calls do.
func (a *app) withFilm(ctx context.Context, dir string, do func(w *job.Work) error) error {
	s, err := store.Open(ctx, dir)
	if err != nil {
		return err
	}
	defer s.Close()
	return withLock(s, func() error {
		e, err := a.findEngine(ctx)
		if err != nil {
			return err
		}
		progress, end := a.progress()
		defer end()
		return do(job.New(s, e, progress))
	})
}

// withLock takes a film for one piece of work.
func withLock(s *store.Store, do func() error) error {
	release, err := s.Lock()
	if err != nil {
		return err
	}
	defer release()
	return do()
}

// show prints v as JSON, or calls words.
func (a *app) show(v any, words func(w io.Writer)) error {
	if a.json {
		enc := json.NewEncoder(a.out)
		enc.SetIndent("", " ")
		return enc.Encode(v)
	}
	words(a.out)
	return nil
}

// isTerminal reports whether f is a terminal.
func isTerminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	if !ok {
		return false
	}
	st, err := f.Stat()
	return err == nil && st.Mode()&os.ModeCharDevice != 0
}
