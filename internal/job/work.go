package job

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"runtime"
	"strconv"
	"sync"

	"takeweave/internal/film"
	"takeweave/internal/lineup"
	"takeweave/internal/media"
	"takeweave/internal/plan"
	"takeweave/internal/store"
)

// The settings a film keeps.
const (
	settingRecord       = "record"        // path of the record inside the film folder, slashes
	settingRecordDigest = "record-digest" // its hash
	settingClips        = "clips"         // the folder of clips, absolute
	settingRate         = "rate"          // film rate when the person chose one
	settingSize         = "size"          // film size "1920x1080" when the person chose one
)

// The version of each step's method. Raise one when its results change.
const (
	soundVersion    = 1
	songVersion     = 4
	lineUpVersion   = 6
	agreeVersion    = 6
	cutVersion      = 4
	handoverVersion = 6
	apartVersion    = 1
	pictureVersion  = 1
	loudnessVersion = 2
	lookVersion     = 1
)

// The names of the steps, as stored and as shown.
const (
	stepSong     = "song"
	stepLineUp   = "lineup"
	stepApart    = "apart" // recorder against camera; part of line-up
	stepAgree    = "agree"
	stepPicture  = "picture"
	stepCut      = "cut"
	stepHandover = "handover"
	stepShown    = "shown" // the cut that the finished film shows
)

// Done says what a step did: how many results it made and how many it found
// already there, made from the same input.
type Done struct {
	Step  string `json:"step"`
	Made  int    `json:"made"`
	Found int    `json:"found"`
}

// Work is the work on one film. Its steps may be called in any order: each
// first sees to what it needs.
type Work struct {
	Store    *store.Store
	Engine   *media.Engine
	Progress *Progress
	Found    func() // when set, is called after each result that is new

	linedUp, judged []Pass // what LineUp and Agree found, in this life

	mu   sync.Mutex
	done map[string]*Done

	*memory
}

// memory is what several works on one film share: what is heard and known of files
// that do not change.
type memory struct {
	memoryMu   sync.Mutex
	infos      map[string]media.Info
	recordings map[string]*lineup.Recording
	recordMu   sync.Mutex // held while the record is listened to
	cutMu      sync.Mutex // held while a cut is solved
	cuttings   map[string]*cutting
	views      map[string]Viewed // by digest
	tried      tried             // while a look is found
	days       plan.Memory       // days of the plan that were put in order
}

// New returns the work on the film in s.
func New(s *store.Store, e *media.Engine, p *Progress) *Work {
	return &Work{Store: s, Engine: e, Progress: p, done: map[string]*Done{}, memory: &memory{
		infos: map[string]media.Info{}, recordings: map[string]*lineup.Recording{}, cuttings: map[string]*cutting{}, views: map[string]Viewed{},
	}}
}

// Again returns a new work on the same film, which sees what changed since, and
// shares what is known of its files.
func (w *Work) Again(p *Progress) *Work {
	return &Work{Store: w.Store, Engine: w.Engine, Progress: p, done: map[string]*Done{}, memory: w.memory}
}

// ErrNotYet is the answer under [Peek] for what has not been worked out yet.
var ErrNotYet = errors.New("not worked out yet")

type peeking struct{}

// Peek returns a context under which steps only tell what is already worked out:
// a pass not lined up yet has no status, and what needs work is ErrNotYet.
func Peek(ctx context.Context) context.Context { return context.WithValue(ctx, peeking{}, true) }

func peeks(ctx context.Context) bool { return ctx.Value(peeking{}) == true }

// works returns ctx for a step so quick that it is worked out under Peek too.
func works(ctx context.Context) context.Context { return context.WithValue(ctx, peeking{}, false) }

// Did returns what a step did since New.
func (w *Work) Did(step string) Done {
	w.mu.Lock()
	defer w.mu.Unlock()
	if d := w.done[step]; d != nil {
		return *d
	}
	return Done{Step: step}
}

// numbered returns the results of a step that are kept by number, from 1 on.
func numbered[T any](ctx context.Context, w *Work, step string) ([]T, error) {
	var all []T
	for {
		var one T
		key, err := w.Store.Result(ctx, step, fmt.Sprint(len(all)+1), &one)
		if err != nil || key == "" {
			return all, err
		}
		all = append(all, one)
	}
}

// result runs make unless its result is stored under the same key. Nothing is
// stored when make fails or the work is cancelled.
func result[T any](ctx context.Context, w *Work, step, subject, key string, make func() (T, error)) (T, error) {
	var v T
	stored, err := w.Store.Result(ctx, step, subject, &v)
	if err != nil {
		return v, err
	}
	if stored == key {
		w.count(step, 0, 1)
		return v, nil
	}
	if peeks(ctx) {
		var none T
		return none, ErrNotYet
	}
	v, err = make()
	if err == nil {
		err = ctx.Err()
	}
	if err != nil {
		var none T
		return none, err
	}
	w.count(step, 1, 0)
	err = w.Store.PutResult(ctx, step, subject, key, v)
	w.found()
	return v, err
}

func (w *Work) found() {
	if w.Found != nil {
		w.Found()
	}
}

func (w *Work) count(step string, made, found int) {
	w.mu.Lock()
	defer w.mu.Unlock()
	d := w.done[step]
	if d == nil {
		d = &Done{Step: step}
		w.done[step] = d
	}
	d.Made += made
	d.Found += found
}

// info probes a file once.
func (w *Work) info(ctx context.Context, path string) (media.Info, error) {
	w.memoryMu.Lock()
	i, ok := w.infos[path]
	w.memoryMu.Unlock()
	if ok {
		return i, nil
	}
	i, err := w.Engine.Probe(ctx, path)
	if err != nil {
		return i, err
	}
	w.memoryMu.Lock()
	w.infos[path] = i
	w.memoryMu.Unlock()
	return i, nil
}

// record returns the path and digest of the film's record.
func (w *Work) record(ctx context.Context) (path, sum string, err error) {
	rel, err := w.Store.Setting(ctx, settingRecord)
	if err != nil {
		return "", "", err
	}
	if rel == "" {
		return "", "", &film.Error{Code: film.CodeNeedsStep, Path: w.Store.Dir, Msg: "has no record yet", Hint: "make the film anew with: takeweave new DIR --song RECORD"}
	}
	sum, err = w.Store.Setting(ctx, settingRecordDigest)
	return filepath.Join(w.Store.Dir, filepath.FromSlash(rel)), sum, err
}

// sideBySide is how many clips are listened to at once.
func sideBySide() int { return max(1, runtime.NumCPU()) }

func subject(c film.Clip) string { return strconv.FormatInt(c.ID, 10) }
