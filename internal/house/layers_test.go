package house

import (
	"slices"
	"strings"
	"testing"
)

// module is the path under which our own packages are imported.
const module = "takeweave/"

// anything lets a room import every other room, but for those that only the
// wiring may see.
const anything = "*"

// room says what a package may import besides the standard library.
type room struct {
	pure    bool     // values in, values out: see notPure
	rooms   []string // own packages, below internal/
	outside []string // modules of others
}

// house is the plan: every package below internal/ and cmd/ has its line here.
// Tests may import more, but never what nobody may.
var house = map[string]room{
	// The domain knows nobody.
	"internal/film": {pure: true},
	// Maths and computation.
	"internal/dsp":      {pure: true, rooms: []string{"film"}, outside: []string{"gonum.org/v1/gonum", "golang.org/x/sys"}},
	"internal/songmap":  {pure: true, rooms: []string{"film", "dsp"}, outside: []string{"gonum.org/v1/gonum"}},
	"internal/lineup":   {pure: true, rooms: []string{"film", "dsp"}, outside: []string{"gonum.org/v1/gonum"}},
	"internal/agree":    {pure: true, rooms: []string{"film", "dsp", "lineup"}, outside: []string{"gonum.org/v1/gonum"}},
	"internal/passcall": {pure: true, rooms: []string{"film", "dsp"}},
	"internal/hold":     {pure: true, rooms: []string{"film"}, outside: []string{"gonum.org/v1/gonum"}},
	"internal/cut":      {pure: true, rooms: []string{"film", "hold"}, outside: []string{"gonum.org/v1/gonum"}},
	"internal/crop":     {pure: true, rooms: []string{"film"}},
	"internal/look":     {pure: true, rooms: []string{"film"}, outside: []string{"gonum.org/v1/gonum"}},
	"internal/picture":  {pure: true, rooms: []string{"film", "dsp"}, outside: []string{"gonum.org/v1/gonum"}},
	"internal/loudness": {pure: true},
	"internal/flash":    {pure: true, rooms: []string{"film"}},
	"internal/captions": {pure: true, rooms: []string{"film"}},
	"internal/titles":   {pure: true, rooms: []string{"film", "captions"}, outside: []string{"golang.org/x/image"}},
	"internal/checks":   {pure: true, rooms: []string{"film", "dsp", "loudness", "flash", "captions"}},
	// On the day.
	"internal/daylog": {pure: true, rooms: []string{"film"}},
	// The plan before the day.
	"internal/sun":      {pure: true, rooms: []string{"film"}},
	"internal/optics":   {pure: true, rooms: []string{"film", "crop"}},
	"internal/room":     {pure: true, rooms: []string{"film", "optics", "sun"}},
	"internal/light":    {pure: true, rooms: []string{"film", "optics"}},
	"internal/schedule": {pure: true, rooms: []string{"film", "sun"}},
	"internal/coverage": {pure: true, rooms: []string{"film", "hold", "schedule"}, outside: []string{"gonum.org/v1/gonum"}},
	"internal/plan":     {pure: true, rooms: []string{"film", "sun", "optics", "room", "light", "schedule", "coverage", "titles", "crop"}},
	// Adapters: one technology each.
	"internal/fingerprint": {rooms: []string{"film"}, outside: []string{"github.com/zeebo/xxh3"}},
	"internal/media":       {rooms: []string{"film", "media/codec"}, outside: []string{"golang.org/x/sys", "golang.org/x/sync"}},
	"internal/media/codec": {rooms: []string{"film"}, outside: []string{"github.com/tetratelabs/wazero", "codeberg.org/gruf/go-ffmpreg"}},
	"internal/wav":         {},
	"internal/interchange": {rooms: []string{"film"}},
	"internal/card":        {rooms: []string{"film", "interchange"}, outside: []string{"github.com/zeebo/xxh3", "golang.org/x/sys"}},
	"internal/store":       {rooms: []string{"film"}, outside: []string{"modernc.org/sqlite", "golang.org/x/sys"}},
	// The invented film day draws and plays. Its files are written by a Camera,
	// an interface in the words of media, that is handed in.
	"internal/demo": {rooms: []string{"film", "media", "wav", "plan", "optics", "room", "light"}, outside: []string{"golang.org/x/image", "golang.org/x/sync"}},
	// The film days that tests invent.
	"internal/filmday": {pure: true, rooms: []string{"film", "dsp"}},
	// Those that bring rooms together.
	"internal/handover":       {rooms: []string{anything}, outside: []string{"golang.org/x/image", "golang.org/x/sync"}},
	"internal/job":            {rooms: []string{anything}, outside: []string{"golang.org/x/sync", "golang.org/x/sys"}},
	"internal/workbench/page": {},
	"internal/workbench":      {rooms: []string{anything}},
	"internal/cli":            {rooms: []string{anything}, outside: []string{"github.com/spf13/cobra", "github.com/skip2/go-qrcode"}},
	"cmd/takeweave":           {rooms: []string{"cli", "media/codec"}},
	// What the page is worked on with, without a film day.
	"ui/mock": {rooms: []string{anything}},
	// Tests of the whole, and of the house itself.
	"internal/acceptance": {rooms: []string{"cli"}},
	"internal/house":      {},
}

// notPure is what a computation room never touches: files, the clock, the
// network, other programs, logs, chance without a seed.
var notPure = []string{"os", "log", "net", "time", "syscall", "database/sql", "crypto/rand"}

func TestImportsPointInward(t *testing.T) {
	for _, f := range theTree(t).gofs {
		if strings.HasPrefix(f.folder, "tools") {
			continue // a module of its own
		}
		r, known := house[f.folder]
		if !known {
			t.Errorf("%s: its room has no line in the plan of the house (layers_test.go)", f.path)
			continue
		}
		for _, path := range f.imports() {
			if why := r.forbids(f, path); why != "" {
				t.Errorf("%s imports %q: %s", f.path, path, why)
			}
		}
	}
}

// forbids returns why the room may not import path in file f, "" when it may.
func (r room) forbids(f goFile, path string) string {
	if own, ok := strings.CutPrefix(path, module+"internal/"); ok {
		switch {
		case own == "cli" && !slices.Contains(r.rooms, "cli") && f.folder != "internal/cli":
			return "only the wiring in cmd may see the command line"
		case f.isTest, slices.Contains(r.rooms, own):
			return ""
		case own != "cli" && slices.Contains(r.rooms, anything):
			return ""
		}
		return "this room may not see that one"
	}
	if f.isTest {
		return ""
	}
	if isStandard(path) {
		if r.pure && slices.ContainsFunc(notPure, func(p string) bool { return within(path, p) }) {
			return "a computation room is pure"
		}
		return ""
	}
	if !slices.ContainsFunc(r.outside, func(m string) bool { return within(path, m) }) {
		return "this room may not use that module"
	}
	return ""
}

// isStandard reports whether path is of the standard library: its first
// element has no dot.
func isStandard(path string) bool {
	first, _, _ := strings.Cut(path, "/")
	return !strings.Contains(first, ".") && !strings.HasPrefix(path, module)
}

// within reports whether path is p or lies below it.
func within(path, p string) bool { return path == p || strings.HasPrefix(path, p+"/") }

func TestThePlanForbids(t *testing.T) {
	code, test := goFile{folder: "internal/agree"}, goFile{folder: "internal/agree", isTest: true}
	for _, c := range []struct {
		name    string
		file    goFile
		path    string
		allowed bool
	}{
		{"a deeper room", code, "takeweave/internal/lineup", true},
		{"a room beside it", code, "takeweave/internal/cut", false},
		{"a room that brings others together", code, "takeweave/internal/job", false},
		{"plain maths", code, "math", true},
		{"files", code, "os", false},
		{"other programs", code, "os/exec", false},
		{"a name that only begins alike", code, "oslo", true},
		{"a module it may use", code, "gonum.org/v1/gonum/dsp/fourier", true},
		{"a module it may not use", code, "modernc.org/sqlite", false},
		{"a test that looks further", test, "takeweave/internal/demo", true},
		{"a test that looks at the command line", test, "takeweave/internal/cli", false},
		{"a test's own module", test, "pgregory.net/rapid", true},
	} {
		if why := house[c.file.folder].forbids(c.file, c.path); (why == "") != c.allowed {
			t.Errorf("%s: %q allowed %v, want %v (%s)", c.name, c.path, why == "", c.allowed, why)
		}
	}
}

// TestEveryRoomExplainsItself wants a package comment, once, in every package.
func TestEveryRoomExplainsItself(t *testing.T) {
	comments := map[string]int{}
	for _, f := range theTree(t).gofs {
		if f.isTest {
			continue
		}
		comments[f.folder] += 0
		if f.syntax.Doc != nil {
			comments[f.folder]++
			name := f.syntax.Name.Name
			want := "Package " + name + " "
			if name == "main" {
				want = "Command " + f.folder[strings.LastIndex(f.folder, "/")+1:] + " "
			}
			if got := f.syntax.Doc.Text(); !strings.HasPrefix(got, want) {
				t.Errorf("%s: the package comment begins %.30q, want it to begin %q", f.path, got, want)
			}
		}
	}
	for folder, n := range comments {
		if n != 1 {
			t.Errorf("%s has %d package comments, want 1", folder, n)
		}
	}
}
