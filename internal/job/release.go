package job

import (
	"context"
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"takeweave/internal/cut"
	"takeweave/internal/film"
	"takeweave/internal/fingerprint"
	"takeweave/internal/titles"
)

// stepRelease is the result of a release, by its number.
const stepRelease = "release"

// Release is a version of the films that went out.
type Release struct {
	Version int       `json:"version"`
	Made    time.Time `json:"made"`
	Folder  string    `json:"folder"`
	Files   []string  `json:"files"`   // in Folder
	Changes []string  `json:"changes"` // against the version before, in words
	// Because is why it went out although a permission was open.
	Because string                  `json:"because,omitempty"`
	Films   map[string]ReleasedFilm `json:"films"` // by order
	Facts   titles.Facts            `json:"facts"`
	Look    string                  `json:"look"` // in words
}

// ReleasedFilm is one film of a release.
type ReleasedFilm struct {
	File   string   `json:"file"`
	Key    string   `json:"key"` // of all that it depends on
	Cut    film.Cut `json:"cut"`
	GainDB float64  `json:"gain_db"`
}

// Releases returns the versions that went out, the first first.
func (w *Work) Releases(ctx context.Context) ([]Release, error) {
	return numbered[Release](ctx, w, stepRelease)
}

// Release makes the films that were ordered the next version: named files in a
// folder of their own under out, with captions, the text to publish and what
// changed since the version before. When nothing changed it returns the latest.
//
// A permission that is open blocks it, unless because says why it goes out
// nevertheless.
func (w *Work) Release(ctx context.Context, because string) (Release, error) {
	facts, err := w.Facts(ctx)
	if err != nil {
		return Release{}, err
	}
	if gates := facts.Gates(); len(gates) > 0 && because == "" {
		return Release{}, &film.Error{Code: film.CodeNeedsStep, Msg: "not released: " + strings.Join(gates, "; "), Hint: "note the answers with: takeweave facts " + w.Store.Dir + " --permit; or say why it goes out nevertheless: --because"}
	}
	whole, err := w.Handover(ctx, cut.Options{})
	if err != nil {
		return Release{}, err
	}
	releases, err := w.Releases(ctx)
	if err != nil {
		return Release{}, err
	}
	r := Release{Version: len(releases) + 1, Made: w.Store.Now().UTC().Truncate(time.Second), Because: because, Films: map[string]ReleasedFilm{}, Facts: facts}
	if r.Look, err = w.lookInWords(ctx); err != nil {
		return r, err
	}
	gain, err := w.Gain(ctx)
	if err != nil {
		return r, err
	}
	handed := append([]HandedOver{whole}, whole.Others...)
	for _, h := range handed {
		f := ReleasedFilm{File: releaseName(facts, filepath.Base(w.Store.Dir), h, r.Version) + filepath.Ext(h.Film), GainDB: gain.DB}
		if f.Key, err = w.handoverKey(ctx, h.Order, cut.Options{}); err != nil {
			return r, err
		}
		if f.Cut, err = w.Cut(ctx, h.Order.ID, cut.Options{}); err != nil {
			return r, err
		}
		r.Films[h.Order.ID] = f
	}
	song, err := w.Song(ctx)
	if err != nil {
		return r, err
	}
	if len(releases) > 0 {
		before := releases[len(releases)-1]
		if r.Changes = changesSince(&before, &r, &song); len(r.Changes) == 0 {
			return before, nil
		}
	}
	if err := w.writeRelease(ctx, &r, handed, &song); err != nil {
		return r, err
	}
	return r, w.Store.PutResult(ctx, stepRelease, fmt.Sprint(r.Version), fingerprint.Of(stepRelease, r.Films), r)
}

// releaseName names the files of one film: artist, song, shape and version, in
// what any file system takes.
func releaseName(f titles.Facts, folder string, h HandedOver, version int) string {
	shape := string(h.Order.Shape)
	if shape == "" {
		shape = string(shapeOf(h.Format.Width, h.Format.Height))
	}
	var parts []string
	for _, p := range []string{f.Artist, f.Title, strings.ReplaceAll(shape, ":", "x"), h.Order.Part, fmt.Sprintf("v%d", version)} {
		if p = strings.ToLower(strings.Join(strings.Fields(p), "-")); p != "" {
			parts = append(parts, strings.Map(plainInNames, p))
		}
	}
	if f.Title == "" {
		parts = slices.Insert(parts, 0, strings.Map(plainInNames, folder))
	}
	return strings.Join(parts, "_")
}

// changesSince says how a release differs from the one before, in words.
func changesSince(before, now *Release, song *film.Song) []string {
	var words []string
	for _, id := range slices.Sorted(maps.Keys(now.Films)) {
		n := now.Films[id]
		b, was := before.Films[id]
		switch {
		case !was:
			words = append(words, fmt.Sprintf("%s: new", id))
		case n.Key == b.Key:
		case b.Cut.Rate != n.Cut.Rate:
			words = append(words, fmt.Sprintf("%s: %s frames a second, was %s", id, n.Cut.Rate, b.Cut.Rate))
		default:
			if c := cut.Changes(b.Cut, n.Cut, song); !c.None() {
				words = append(words, fmt.Sprintf("%s: %s", id, c))
			}
			if n.GainDB != b.GainDB {
				words = append(words, fmt.Sprintf("%s: sound %+.1f dB, was %+.1f dB", id, n.GainDB, b.GainDB))
			}
		}
	}
	for _, id := range slices.Sorted(maps.Keys(before.Films)) {
		if _, still := now.Films[id]; !still {
			words = append(words, fmt.Sprintf("%s: no longer made", id))
		}
	}
	if now.Look != before.Look {
		words = append(words, fmt.Sprintf("the look: %s, was %s", now.Look, before.Look))
	}
	if fingerprint.Of(now.Facts) != fingerprint.Of(before.Facts) {
		words = append(words, "the names and facts")
	}
	if len(words) == 0 && !sameKeys(before, now) {
		words = append(words, "captions, names or crops; every shot shows the same moment")
	}
	return words
}

// sameKeys reports whether the films of two releases depend on the same.
func sameKeys(a, b *Release) bool {
	return maps.EqualFunc(a.Films, b.Films, func(x, y ReleasedFilm) bool { return x.Key == y.Key })
}

// writeRelease lays out the folder of a release. It appears when it is whole.
func (w *Work) writeRelease(ctx context.Context, r *Release, handed []HandedOver, song *film.Song) error {
	r.Folder = filepath.Join(w.Store.Dir, "out", fmt.Sprintf("v%d", r.Version))
	if _, err := os.Stat(r.Folder); err == nil {
		return &film.Error{Code: film.CodeExists, Path: r.Folder, Msg: "is there already and was not made by this film", Hint: "move it away and release again; nothing was changed"}
	}
	part := r.Folder + ".part"
	if err := errors.Join(os.RemoveAll(part), os.MkdirAll(part, 0o777)); err != nil {
		return err
	}
	defer os.RemoveAll(part)
	for _, h := range handed {
		name := r.Films[h.Order.ID].File
		plain := strings.TrimSuffix(name, filepath.Ext(name))
		for _, f := range []struct{ from, to string }{
			{h.Film, name},
			{h.Report, plain + "_report.html"},
			{filepath.Join(w.Store.Dir, "out", fileOf(h.Order, "checks", ".json")), plain + "_checks.json"},
			{filepath.Join(w.Store.Dir, "out", fileOf(h.Order, "captions", ".vtt")), plain + ".vtt"},
		} {
			if !stillThere(f.from, -1) { // a song without lyrics has no captions
				continue
			}
			if err := linkOrCopy(f.from, filepath.Join(part, f.to)); err != nil {
				return err
			}
			r.Files = append(r.Files, f.to)
		}
		if err := ctx.Err(); err != nil {
			return err
		}
	}
	texts := map[string]string{"changes.txt": sayRelease(r)}
	if r.Facts.Title != "" {
		whole := r.Films[WholeFilm].Cut
		t, err := titles.TextsOf(&r.Facts, song, filmOf(&whole))
		if err != nil {
			return err
		}
		texts["publish.txt"] = fmt.Sprintf("Short:\n\n%s\n\nMiddle:\n\n%s\n\nFull:\n\n%s", t.Short, t.Middle, t.Full)
	}
	for name, text := range texts {
		if err := os.WriteFile(filepath.Join(part, name), []byte(text), 0o666); err != nil {
			return err
		}
		r.Files = append(r.Files, name)
	}
	slices.Sort(r.Files)
	return os.Rename(part, r.Folder)
}

// linkOrCopy makes a second name for a file, or a copy where the file system has
// no second names. Renders never change a file in place, so the link keeps what
// was released.
func linkOrCopy(from, to string) error {
	if os.Link(from, to) == nil {
		return nil
	}
	in, err := os.Open(from)
	if err != nil {
		return err
	}
	defer in.Close()
	return writeWhole(to, func(out io.Writer) error {
		_, err := io.Copy(out, in)
		return err
	})
}

// sayRelease is the text of a release that lies beside its films.
func sayRelease(r *Release) string {
	var b strings.Builder
	fmt.Fprintf(&b, "Version %d, %s\n", r.Version, r.Made.Format("2006-01-02 15:04 UTC"))
	if r.Because != "" {
		fmt.Fprintf(&b, "Released with a permission open, because: %s\n", r.Because)
	}
	if r.Version == 1 {
		b.WriteString("The first version.\n")
	}
	for _, c := range r.Changes {
		fmt.Fprintf(&b, "Changed: %s\n", c)
	}
	fmt.Fprintf(&b, "Look: %s\n", r.Look)
	return b.String()
}
