package page_test

import (
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"path"
	"path/filepath"
	"reflect"
	"slices"
	"sort"
	"strings"
	"testing"

	"takeweave/internal/film"
	"takeweave/internal/job"
	"takeweave/internal/look"
	"takeweave/internal/plan"
	"takeweave/internal/workbench"
)

var update = flag.Bool("update", false, "write ui/src/api/types.ts anew")

var typesFile = filepath.Join("..", "..", "..", "ui", "src", "api", "types.ts")

// spoken are all that goes over the wire between program and page.
var spoken = []any{
	workbench.Film{},
	workbench.Cut{},
	workbench.Others{},
	workbench.Why{},
	workbench.Decision{},
	workbench.Decided{},
	workbench.Start{},
	workbench.Work{},
	workbench.Wave{},
	workbench.Failure{},
	workbench.Looked{},
	workbench.TableAsk{},
	workbench.Instants{},
	workbench.LUTFile{},
	workbench.LUTTaken{},
	job.ScopesAsk{},
	job.Scopes{},
	job.MatchAsk{},
	look.Match{},
	workbench.Planned{},
}

// branded are Go's named numbers and words that keep a name of their own in the
// page, so that the clocks are not mixed there either.
var branded = map[reflect.Type]string{
	reflect.TypeFor[film.SongTime](): "SongTime",
	reflect.TypeFor[film.PassTime](): "PassTime",
	reflect.TypeFor[film.Frames]():   "Frames",
	reflect.TypeFor[film.Rate]():     "string",
}

// words are named strings with the values they may have.
var words = map[reflect.Type][]string{
	reflect.TypeFor[film.Status]():  {string(film.Aligned), string(film.Refused), string(film.Silent)},
	reflect.TypeFor[film.Shows]():   {string(film.ShowsUnknown), string(film.ShowsLips), string(film.ShowsHands), string(film.ShowsBoth), string(film.ShowsNeither)},
	reflect.TypeFor[film.Size]():    {string(film.SizeUnknown), string(film.SizeWide), string(film.SizeMid), string(film.SizeClose), string(film.SizeInsert)},
	reflect.TypeFor[film.PinKind](): {string(film.PinShowPass), string(film.PinShowSetup), string(film.PinNotPass), string(film.PinNotSetup), string(film.PinCut), string(film.PinNoCut), string(film.PinOverrule)},
	reflect.TypeFor[look.Step]():    steps(),
	reflect.TypeFor[plan.Answer]():  {string(plan.Works), string(plan.Look), string(plan.Fails), string(plan.Unknown)},
}

func steps() []string {
	var all []string
	for _, s := range look.Order {
		all = append(all, string(s))
	}
	return all
}

// TestTypesAreThoseOfGo keeps the page's types from drifting away from Go's.
func TestTypesAreThoseOfGo(t *testing.T) {
	want := typeScript(spoken)
	if *update {
		if err := os.WriteFile(typesFile, []byte(want), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	got, err := os.ReadFile(typesFile)
	if err != nil {
		t.Fatal(err)
	}
	if string(got) != want {
		t.Error("ui/src/api/types.ts is not what the Go types say; run: go test ./internal/workbench/page -update, then make the bundle again")
	}
}

// typeScript returns the types of the values, and of all they hold, as TypeScript.
func typeScript(values []any) string {
	w := writer{named: map[string]string{}}
	for _, v := range values {
		w.name(reflect.TypeOf(v))
	}
	names := make([]string, 0, len(w.named))
	for n := range w.named {
		names = append(names, n)
	}
	sort.Strings(names)
	var b strings.Builder
	b.WriteString("// Made from the Go types by a test in internal/workbench/page; do not edit.\n")
	b.WriteString("import type { Frames, PassTime, SongTime } from \"../base/time\";\n")
	for _, n := range names {
		b.WriteString("\n" + w.named[n])
	}
	return b.String()
}

type writer struct{ named map[string]string }

// name returns how a type is called in TypeScript and sees to its declaration.
func (w writer) name(t reflect.Type) string {
	if n, ok := branded[t]; ok {
		return n
	}
	if values, ok := words[t]; ok {
		var quoted []string
		for _, v := range values {
			quoted = append(quoted, fmt.Sprintf("%q", v))
		}
		w.named[t.Name()] = fmt.Sprintf("export type %s = %s;\n", t.Name(), strings.Join(quoted, " | "))
		return t.Name()
	}
	if t == reflect.TypeFor[json.RawMessage]() {
		return "unknown"
	}
	switch t.Kind() {
	case reflect.String:
		return "string"
	case reflect.Bool:
		return "boolean"
	case reflect.Int, reflect.Int8, reflect.Int64, reflect.Float64:
		return "number"
	case reflect.Pointer:
		return w.name(t.Elem())
	case reflect.Slice:
		return "readonly " + w.element(t.Elem()) + "[]"
	case reflect.Array:
		return "readonly [" + strings.TrimSuffix(strings.Repeat(w.name(t.Elem())+", ", t.Len()), ", ") + "]"
	case reflect.Map:
		return fmt.Sprintf("{ readonly [key: %s]: %s | undefined }", w.name(t.Key()), w.name(t.Elem()))
	case reflect.Struct:
		return w.object(t)
	}
	panic("no TypeScript for " + t.String())
}

func (w writer) element(t reflect.Type) string {
	n := w.name(t)
	if strings.ContainsAny(n, " |") {
		return "(" + n + ")"
	}
	return n
}

func (w writer) object(t reflect.Type) string {
	name := nameOf(t)
	if _, done := w.named[name]; done {
		return name
	}
	w.named[name] = "" // it may hold itself
	var b strings.Builder
	fmt.Fprintf(&b, "export interface %s {\n", name)
	w.fields(&b, t)
	b.WriteString("}\n")
	w.named[name] = b.String()
	return name
}

// ofRooms are the packages whose types go by the package and their own name, since
// several rooms have one of that name.
var ofRooms = []string{"plan", "optics", "room", "light", "schedule", "coverage", "sun"}

func nameOf(t reflect.Type) string {
	of := path.Base(t.PkgPath())
	if slices.Contains(ofRooms, of) {
		return strings.ToUpper(of[:1]) + of[1:] + t.Name()
	}
	if of == "film" && (t.Name() == "Cut" || t.Name() == "Pin") {
		return "Film" + t.Name() // the workbench has one of that name too
	}
	return t.Name()
}

func (w writer) fields(b *strings.Builder, t reflect.Type) {
	for i := range t.NumField() {
		f := t.Field(i)
		if !f.IsExported() {
			continue
		}
		tag := f.Tag.Get("json")
		if f.Anonymous && tag == "" {
			w.fields(b, f.Type)
			continue
		}
		name, rest, _ := strings.Cut(tag, ",")
		if name == "" {
			name = f.Name
		}
		absent := ""
		if strings.Contains(rest, "omitempty") || strings.Contains(rest, "omitzero") {
			absent = "?"
		}
		value := w.name(f.Type)
		if absent == "" && (f.Type.Kind() == reflect.Slice || f.Type.Kind() == reflect.Map) {
			value += " | null" // Go writes an empty one as null
		}
		fmt.Fprintf(b, "  readonly %s%s: %s;\n", name, absent, value)
	}
}
