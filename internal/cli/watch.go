package cli

import (
	"encoding/json"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"takeweave/internal/film"
	"takeweave/internal/job"
	"takeweave/internal/store"
)

func (a *app) watchCommand() *cobra.Command {
	var cards string
	cmd := &cobra.Command{
		Use: "watch DIR", Short: "Take in passes as they appear, and tell what is still owed",
		Long: `Watches a folder or a card reader while it is filmed. What appears is lined up with
the record and judged as soon as it is whole, and what is still owed is told; the
phones that are served with takeweave serve --on-the-day have it at once. Files are
only read. A card may be taken out: what was judged stays known. Ctrl-C ends it.

` + exitCodes,
		Example: "  takeweave watch slow-ferry --cards /media/card",
		Args:    exactly(1, "the folder of the film: takeweave watch DIR --cards FOLDER"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if cards == "" {
				return &film.Error{Code: film.CodeUsage, Msg: "no folder to watch was given", Hint: "say where passes appear: --cards FOLDER"}
			}
			return a.watch(cmd, args[0], cards)
		},
	}
	cmd.Flags().StringVar(&cards, "cards", "", "the folder, or where the card reader is mounted")
	return cmd
}

func (a *app) watch(cmd *cobra.Command, dir, cards string) error {
	ctx := cmd.Context()
	s, err := store.Open(ctx, dir)
	if err != nil {
		return err
	}
	defer s.Close()
	e, err := a.findEngine(ctx)
	if err != nil {
		return err
	}
	if !a.json {
		fmt.Fprintf(a.out, "Watching %s; Ctrl-C ends it.\n", cards)
	}
	return job.New(s, e, nil).Watch(ctx, cards, a.sayWatched)
}

// watchedWords is what is told of files that were taken in.
type watchedWords struct {
	Files  []string `json:"files"`
	TookS  float64  `json:"took_s"`
	Ask    string   `json:"ask"`
	Owed   []string `json:"owed"` // what to ask for, the most worth per minute first
	Stop   string   `json:"stop"`
	Unsure []string `json:"unsure,omitempty"` // which pass is this file?
}

func (a *app) sayWatched(seen job.Watched) {
	told := watchedWords{Files: seen.Files, TookS: seen.Took.Seconds(), Ask: seen.Day.Ask(), Owed: []string{}, Stop: seen.Day.Stop.Say}
	for _, o := range seen.Day.Advice {
		told.Owed = append(told.Owed, o.Say+" "+o.Why)
	}
	for _, q := range seen.Day.Tying.Questions {
		told.Unsure = append(told.Unsure, q.Text)
	}
	if a.json {
		_ = json.NewEncoder(a.out).Encode(told)
		return
	}
	fmt.Fprintf(a.out, "%s: known in %.1f s\n  %s\n  %s\n", strings.Join(told.Files, ", "), told.TookS, told.Ask, told.Stop)
	for _, q := range told.Unsure {
		fmt.Fprintf(a.out, "  %s\n", q)
	}
}
