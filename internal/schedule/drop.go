package schedule

import (
	"cmp"
	"slices"
	"strings"
)

// Drop is what leaving one setup out of the day saves and loses.
type Drop struct {
	Setup    string  `json:"setup"`
	SavesMin float64 `json:"saves_minutes"` // in the order as it is, without slack
	PerMin   float64 `json:"per_minute"`    // value lost for each minute saved
}

// drops ranks the setups by value per minute, the least first. The safety is
// never dropped, and neither is what saves nothing.
func (d Day) drops(order []int) []Drop {
	var all []Drop
	for k, i := range order {
		saves := d.saves(order, k)
		if d.Setups[i].Safety || saves <= 0 {
			continue
		}
		all = append(all, Drop{d.Setups[i].Name, saves, d.Setups[i].Value / saves})
	}
	slices.SortStableFunc(all, func(a, b Drop) int {
		return cmp.Or(cmp.Compare(a.PerMin, b.PerMin), cmp.Compare(b.SavesMin, a.SavesMin))
	})
	return all
}

// saves returns the minutes that go with the k-th setup of the order: its own
// and those of the changes to and from it, less the change past it.
func (d Day) saves(order []int, k int) float64 {
	change := func(from, to int) float64 {
		if from < 0 || to >= len(order) {
			return 0 // before the day and after it nothing is changed
		}
		return d.Limits.ChangeMin(d.Setups[order[from]].Rig, d.Setups[order[to]].Rig)
	}
	return d.Limits.FilmMin(d.Setups[order[k]], d.SongS) + change(k-1, k) + change(k, k+1) - change(k-1, k+1)
}

// toFit says which setups to drop, the cheapest losses first, until the day is
// short enough; "" when that cannot be.
func (d Day) toFit(p Plan) string {
	order := slices.Clone(p.Order.Setups)
	var names []string
	for over := -p.SpareMin; over > 0; {
		drops := d.drops(order)
		if len(drops) == 0 {
			return ""
		}
		name := drops[0].Setup
		names = append(names, name)
		order = slices.DeleteFunc(order, func(i int) bool { return d.Setups[i].Name == name })
		over -= drops[0].SavesMin * (1 + d.Limits.Slack)
	}
	return ": drop first " + strings.Join(names, ", then ")
}
