package card

import (
	"context"
	"fmt"
	"maps"
	"slices"

	"takeweave/internal/interchange"
)

// compare tells what the card grew, lost and changed since it was last copied to
// these places.
func (c *copier) compare(ctx context.Context) {
	before := map[string]bool{}
	for _, p := range c.places {
		for known := range p.history.known {
			before[known] = true
		}
	}
	if len(before) == 0 {
		return
	}
	for _, f := range c.files {
		switch {
		case !inLists(f.path) || !interchange.CanList(f.path) || f.sums == nil:
		case !before[f.path]:
			c.receipt.Grew = append(c.receipt.Grew, f.path)
		case c.hasChanged(f):
			c.receipt.Changed = append(c.receipt.Changed, f.path)
		}
	}
	for _, p := range slices.Sorted(maps.Keys(before)) {
		if c.byPath[p] == nil {
			c.receipt.Lost = append(c.receipt.Lost, p)
			c.lost(ctx, p)
		}
	}
}

func (c *copier) hasChanged(f *file) bool {
	for i, p := range c.places {
		if k, ok := p.history.known[f.path]; ok && !k.agrees(f.sums) {
			if !f.proven[i] {
				return true // told when its copy was read
			}
			c.problem(Problem{Path: f.path, Place: p.dir, What: "is no longer on the card what it was when it was copied there", Hint: "copy this card into a new folder"})
			return true
		}
	}
	return false
}

// lost looks for whole copies of a file that is no longer on the card. With
// enough of them, wiping the card loses nothing.
func (c *copier) lost(ctx context.Context, path string) {
	var devices []string
	for i, p := range c.places {
		k, ok := p.history.known[path]
		if !ok {
			continue
		}
		got, cold, err := hashFile(ctx, c.disk, below(p.dir, path), slices.Collect(maps.Keys(k.sums)), func(int) {})
		if err == nil && cold && k.agrees(got) && c.receipt.Places[i].counts() && !slices.Contains(devices, p.device) {
			devices = append(devices, p.device)
		}
	}
	if len(devices) < c.plan.wanted() {
		c.problem(Problem{
			Path: path, What: fmt.Sprintf("was copied before and is no longer on the card; whole copies are on %s", count(len(devices), "device", "devices")),
			Hint: "do not wipe anything before this file is found or given up",
		})
		return
	}
	c.note("%q is no longer on the card; its copies on %s are whole", path, count(len(devices), "device", "devices"))
}

// formatsOf returns all formats by which a file is known.
func formatsOf(all []known) []interchange.HashFormat {
	found := map[interchange.HashFormat]bool{}
	for _, k := range all {
		for f := range k.sums {
			found[f] = true
		}
	}
	return slices.Sorted(maps.Keys(found))
}
