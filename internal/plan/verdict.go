package plan

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

func works(format string, args ...any) Verdict { return Verdict{Works, fmt.Sprintf(format, args...)} }

func look(format string, args ...any) Verdict { return Verdict{Look, fmt.Sprintf(format, args...)} }

func failing(format string, args ...any) Verdict { return Verdict{Fails, fmt.Sprintf(format, args...)} }

// unknown is the verdict while things are missing: what to type.
func unknown(missing ...string) Verdict {
	return Verdict{Unknown, "type " + words(missing)}
}

func fails(topic Topic, about, format string, args ...any) Finding {
	return Finding{failing(format, args...), about, topic}
}

// words joins "a", "b" and "c".
func words(all []string) string {
	if len(all) < 2 {
		return strings.Join(all, "")
	}
	return strings.Join(all[:len(all)-1], ", ") + " and " + all[len(all)-1]
}

// missing collects what is not typed.
type missing []string

// unless adds what is missing unless it is there.
func (m *missing) unless(there bool, what string) {
	if !there && !slices.Contains(*m, what) {
		*m = append(*m, what)
	}
}

// verdict is that of what is missing; ok is false when nothing is.
func (m missing) verdict() (v Verdict, ok bool) {
	if len(m) == 0 {
		return Verdict{}, false
	}
	return unknown(m...), true
}

// say adds a verdict to the findings when it is worth telling.
func (d *desk) say(topic Topic, about string, v Verdict) {
	if v.Answer != Works && v.Answer != "" {
		d.told.Findings = append(d.told.Findings, Finding{v, about, topic})
	}
}

// wrong adds an error of what was typed to the findings.
func (d *desk) wrong(topic Topic, about string, err error) {
	if err != nil {
		d.say(topic, about, failing("%s", sayError(err)))
	}
}

// importance is the order in which findings are told.
var importance = []Answer{Fails, Look, Unknown}

func (d *desk) sortFindings() {
	slices.SortStableFunc(d.told.Findings, func(a, b Finding) int {
		return cmp.Compare(slices.Index(importance, a.Answer), slices.Index(importance, b.Answer))
	})
}
