package card

import (
	"fmt"
	"slices"
	"strings"
)

// judge sets the verdict. It looks at nothing but the receipt: what is not
// proven there is not believed.
func (r *Receipt) judge(wanted int) {
	r.MayBeWiped, r.Why = false, nil
	devices := r.provenDevices()
	switch {
	case len(r.Files) == 0:
		r.Why = append(r.Why, "no file was found on it: is it the right folder, and is the card in?")
	case len(r.Problems) > 0:
		r.Why = append(r.Why, fmt.Sprintf("%s named below", count(len(r.Problems), "problem is", "problems are")))
	case len(devices) >= wanted:
		r.MayBeWiped = true
		r.Why = append(r.Why, fmt.Sprintf("every byte of %s was read back equal from %s: %s",
			count(len(r.Files), "file", "files"), count(len(devices), "device", "devices"), strings.Join(devices, ", ")))
	}
	if !r.MayBeWiped && len(devices) < wanted {
		r.Why = append(r.Why, fmt.Sprintf("all of it was read back equal from %s, and %d are wanted", count(len(devices), "device", "different devices"), wanted))
		r.Why = append(r.Why, r.whyNotCounted()...)
	}
	r.Verdict = "Keep this card as it is."
	if r.MayBeWiped {
		r.Verdict = "This card may be wiped, in the camera, by hand."
	}
}

// provenDevices returns the devices on which every file is proven.
func (r *Receipt) provenDevices() []string {
	var all []string
	for i := range r.Places {
		p := &r.Places[i]
		whole := len(r.Files) > 0
		for _, f := range r.Files {
			whole = whole && f.Hash != "" && f.Proven[i]
		}
		if whole && p.counts() && !slices.Contains(all, p.Device) {
			all = append(all, p.Device)
		}
	}
	return all
}

func (r *Receipt) whyNotCounted() []string {
	var why []string
	seen := map[string]string{}
	for i := range r.Places {
		p := &r.Places[i]
		switch {
		case p.OnCard:
			why = append(why, fmt.Sprintf("%q lies on the card itself", p.Folder))
		case p.Device == memory:
			why = append(why, fmt.Sprintf("%q lies in the computer's memory", p.Folder))
		case p.Device == untold:
			why = append(why, fmt.Sprintf("%q lies on %s", p.Folder, untold))
		case p.FromMemory:
			why = append(why, fmt.Sprintf("%q could not be read around the system's memory: the re-read may have come from memory", p.Folder))
		case p.Proven < len(r.Files):
			why = append(why, fmt.Sprintf("%q holds %d of %s, proven", p.Folder, p.Proven, count(len(r.Files), "file", "files")))
		case seen[p.Device] != "":
			why = append(why, fmt.Sprintf("%q and %q are on the same device", seen[p.Device], p.Folder))
		}
		seen[p.Device] = p.Folder
	}
	return why
}

func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
