package job

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"takeweave/internal/daylog"
	"takeweave/internal/film"
	"takeweave/internal/store"
)

// kindTold is what a camera file is in the log, as the person said: the IDs of its
// entries, by the name of the file.
const kindTold = "told"

// paperPhone stands in the log for what was typed in from paper.
const paperPhone = "paper"

// TakePaper adds a log that was kept on paper; day is the day it is of. Lines that
// cannot be read are named in the error, and nothing is added then.
func (w *Work) TakePaper(ctx context.Context, text string, day time.Time) (added int, err error) {
	midnight := time.Date(day.Year(), day.Month(), day.Day(), 0, 0, 0, 0, day.Location())
	entries, err := daylog.ParsePaper(text, midnight.UnixMilli())
	if err != nil {
		return 0, err
	}
	events, err := w.dayEvents(ctx)
	if err != nil {
		return 0, err
	}
	count := int64(0)
	for _, e := range events {
		count = max(count, e.Count)
	}
	return w.AddToDay(ctx, daylog.AddEvents(entries, paperPhone, count, w.Store.Now().UnixMilli()))
}

// TellFile says which passes of the log a camera file is, by their numbers; none
// says that it is in no log.
func (w *Work) TellFile(ctx context.Context, file string, numbers []string) error {
	events, err := w.dayEvents(ctx)
	if err != nil {
		return err
	}
	entries := daylog.Replay(events).Entries
	told := []string{daylog.NotLogged}
	if len(numbers) > 0 {
		told = nil
	}
	for _, text := range numbers {
		n, err := strconv.Atoi(text)
		at := slices.IndexFunc(entries, func(e daylog.Entry) bool { return e.Number == n })
		if err != nil || at < 0 {
			return &film.Error{Code: film.CodeNotFound, Path: text, Msg: "is no pass of the log", Hint: "takeweave log DIR lists them"}
		}
		told = append(told, entries[at].ID)
	}
	change, err := store.Put(kindTold, file, told)
	if err != nil {
		return err
	}
	words := "in no log"
	if len(numbers) > 0 {
		words = "pass " + strings.Join(numbers, ", ")
	}
	_, err = w.Store.Decide(ctx, fmt.Sprintf("%s is %s", file, words), change)
	return err
}
