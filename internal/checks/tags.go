package checks

import "fmt"

// Tag is what a file says of itself and what it should say.
type Tag struct{ Name, Said, Wanted string }

// OfTags returns which tags are missing or say something else: a player shows
// such a film in wrong colours, at a wrong speed or on its side.
func OfTags(tags []Tag) Report {
	r := Report{Checked: []Kind{Tags}}
	for _, t := range tags {
		if t.Said == t.Wanted {
			continue
		}
		words := fmt.Sprintf("the file says %s %s instead of %s", t.Name, t.Said, t.Wanted)
		if t.Said == "" {
			words = fmt.Sprintf("the file does not say %s %s", t.Name, t.Wanted)
		}
		r.Findings = append(r.Findings, Finding{Kind: Tags, End: 1, Words: words})
	}
	return r
}
