package workbench

import (
	"encoding/json"
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strings"

	"takeweave/internal/plan"
)

// planWords says what another plan has changed, for undo: "setup face: distance
// 2.41 instead of 2.2", or at least which parts.
func planWords(was, is plan.Plan) (string, error) {
	a, err := fieldsOf(was)
	if err != nil {
		return "", err
	}
	b, err := fieldsOf(is)
	if err != nil {
		return "", err
	}
	changed := differing(a, b)
	switch len(changed) {
	case 0:
		return "the plan as it was", nil
	case 1:
		return wordsOfPart(changed[0], a[changed[0]], b[changed[0]]), nil
	}
	return "the plan: " + strings.Join(plainNames(changed), ", "), nil
}

// fieldsOf is a plan by the names of its parts.
func fieldsOf(p plan.Plan) (map[string]any, error) {
	text, err := json.Marshal(p)
	if err != nil {
		return nil, err
	}
	var fields map[string]any
	return fields, json.Unmarshal(text, &fields)
}

// differing lists the fields of two objects that are not alike.
func differing(a, b map[string]any) []string {
	all := maps.Clone(a)
	if all == nil {
		all = map[string]any{}
	}
	maps.Copy(all, b)
	return slices.DeleteFunc(slices.Sorted(maps.Keys(all)), func(k string) bool { return reflect.DeepEqual(a[k], b[k]) })
}

// wordsOfPart says what changed in one part of the plan.
func wordsOfPart(part string, was, is any) string {
	name := plainNames([]string{part})[0]
	if a, b, ok := both[[]any](was, is); ok && len(a) == len(b) {
		for i := range a {
			if reflect.DeepEqual(a[i], b[i]) {
				continue
			}
			if x, y, ok := both[map[string]any](a[i], b[i]); ok && reflect.DeepEqual(a[i+1:], b[i+1:]) {
				one, _ := y["name"].(string)
				return strings.TrimSpace(strings.TrimSuffix(name, "s")+" "+one) + ": " + wordsOfFields(x, y)
			}
			return name
		}
	}
	if a, b, ok := both[[]any](orNone(was), orNone(is)); ok && len(a) != len(b) {
		return fmt.Sprintf("%s: %d instead of %d", name, len(b), len(a))
	}
	if x, y, ok := both[map[string]any](was, is); ok {
		return name + ": " + wordsOfFields(x, y)
	}
	return name
}

func wordsOfFields(was, is map[string]any) string {
	changed := differing(was, is)
	if len(changed) != 1 {
		return strings.Join(plainNames(changed), ", ")
	}
	name := plainNames(changed)[0]
	a, b := was[changed[0]], is[changed[0]]
	switch {
	case !plainValue(a) || !plainValue(b):
		return name
	case a == nil:
		return fmt.Sprintf("%s %v", name, b)
	case b == nil:
		return name + " not known any more"
	}
	return fmt.Sprintf("%s %v instead of %v", name, b, a)
}

func plainValue(v any) bool {
	switch v.(type) {
	case nil, string, float64, bool:
		return true
	}
	return false
}

func both[T any](a, b any) (x, y T, ok bool) {
	x, first := a.(T)
	y, second := b.(T)
	return x, y, first && second
}

func orNone(v any) any {
	if v == nil {
		return []any{}
	}
	return v
}

// plainNames are the names of fields as words.
func plainNames(fields []string) []string {
	names := make([]string, len(fields))
	for i, f := range fields {
		for _, unit := range []string{"_deg", "_mm", "_s"} {
			f = strings.TrimSuffix(f, unit)
		}
		names[i] = strings.ReplaceAll(f, "_", " ")
	}
	return names
}
