package schedule

import (
	"fmt"
	"math"
	"math/bits"
	"slices"

	"takeweave/internal/film"
)

// Rules are what an order should keep to. Those that cannot all be kept are
// broken as seldom as possible, whatever the minutes.
type Rules struct {
	SafetyFirst bool   `json:"safety_first"`
	FacesFirst  bool   `json:"faces_first"`  // lips before hands, while the voice is fresh
	OneRelight  bool   `json:"one_relight"`  // a light that was left is not built again
	InsertsLast bool   `json:"inserts_last"` // by loop, after the voice is spent
	Before      []Pair `json:"before,omitempty"`
	// First are setups that come first, in this order: those already filmed or
	// held there by the person.
	First []string `json:"first,omitempty"`
}

// Pair asks for one setup before another.
type Pair struct {
	First string `json:"first"`
	Then  string `json:"then"`
}

// AllRules are the rules a plan begins with. Source: common practice.
var AllRules = Rules{SafetyFirst: true, FacesFirst: true, OneRelight: true, InsertsLast: true}

// Order is a way through the setups.
type Order struct {
	Setups    []int    `json:"setups"` // indices, in order
	ChangeMin float64  `json:"change_minutes"`
	Broken    []string `json:"broken,omitempty"` // rules that are not kept, in words
}

// MostSetups is how many setups can be put in order: with 20 the search holds
// 84 MB for about two seconds.
const MostSetups = 20

// Best returns the order with the fewest broken rules and among those with the
// fewest minutes of change, exactly; among equal ones always the same. Setups
// have different names. It is the shortest Hamiltonian path by
// dynamic programming over subsets. Source: [HeldKarp1962].
//
// It returns a *film.Error for too many setups or a name in the rules that is
// none of theirs.
func Best(setups []Setup, rules Rules, limits Limits) (Order, error) {
	p, err := newPuzzle(setups, rules, limits)
	if err != nil {
		return Order{}, err
	}
	return p.order(p.solve()), nil
}

// AsGiven returns what it costs to film the setups in the order given.
func AsGiven(setups []Setup, rules Rules, limits Limits) (Order, error) {
	rules.First = nil
	p, err := newPuzzle(setups, rules, limits)
	if err != nil {
		return Order{}, err
	}
	all := make([]int, len(setups))
	for i := range all {
		all[i] = i
	}
	return p.order(all), nil
}

// cost counts seconds, and each broken rule as more than all of them together:
// sums of a day fit into 32 bits with two thousand broken rules.
type cost = int32

const (
	broken        cost = 1 << 20 // seconds; a day's changes are below
	longestChange      = 50_000  // seconds; nobody changes longer
)

// nowhere is a cost that no order has.
const nowhere cost = math.MaxInt32

// set is a set of setups, one bit each.
type set = uint32

// puzzle is the question of the order with all that is asked often at hand.
type puzzle struct {
	setups []Setup
	rules  Rules
	change [][]cost // seconds from one setup to another
	light  []set    // of each setup: those lit alike
	first  []int    // those that are held at the beginning
	faces  set
	hands  set
	insert set
	safety set
	after  []set // of each setup: those that must come later
}

func newPuzzle(setups []Setup, rules Rules, limits Limits) (*puzzle, error) {
	n := len(setups)
	if n > MostSetups {
		return nil, &film.Error{Code: film.CodeUsage, Msg: fmt.Sprintf("%d setups are too many to put in order", n), Hint: fmt.Sprintf("plan at most %d for one day", MostSetups)}
	}
	p := &puzzle{setups: setups, rules: rules, change: make([][]cost, n), light: make([]set, n), after: make([]set, n)}
	for i, s := range setups {
		p.change[i] = make([]cost, n)
		for j, t := range setups {
			p.change[i][j] = cost(math.Round(min(60*limits.ChangeMin(s.Rig, t.Rig), longestChange)))
			if s.Rig.Light == t.Rig.Light {
				p.light[i] |= 1 << j
			}
		}
		switch one := set(1) << i; {
		case s.Safety:
			p.safety |= one
		case s.Size == film.SizeInsert || s.Tries > 0 && s.Passes == 0:
			p.insert |= one
		case s.Shows == film.ShowsLips || s.Shows == film.ShowsBoth:
			p.faces |= one
		case s.Shows == film.ShowsHands:
			p.hands |= one
		}
	}
	return p, p.name()
}

// name finds the setups that the rules name.
func (p *puzzle) name() error {
	find := func(name string) (int, error) {
		i := slices.IndexFunc(p.setups, func(s Setup) bool { return s.Name == name })
		if i < 0 {
			return 0, &film.Error{Code: film.CodeUsage, Msg: fmt.Sprintf("the plan has no setup %q", name), Hint: "name one of its setups"}
		}
		return i, nil
	}
	for _, name := range p.rules.First {
		i, err := find(name)
		if err != nil {
			return err
		}
		if !slices.Contains(p.first, i) {
			p.first = append(p.first, i)
		}
	}
	for _, pair := range p.rules.Before {
		a, err := find(pair.First)
		if err != nil {
			return err
		}
		b, err := find(pair.Then)
		if err != nil {
			return err
		}
		p.after[a] |= 1 << b
	}
	return nil
}

// breaks counts the rules that are broken when j comes after all of done,
// whichever of them was last.
func (p *puzzle) breaks(done set, j int) (n int) {
	one := set(1) << j
	n = bits.OnesCount32(done & p.after[j])
	if p.rules.SafetyFirst && done == 0 && p.safety != 0 && p.safety&one == 0 {
		n++
	}
	if p.rules.FacesFirst && p.faces&one != 0 && p.hands&done != 0 {
		n++
	}
	if p.rules.InsertsLast && p.insert&one == 0 && p.insert&done != 0 {
		n++
	}
	return n
}

// relit reports whether going from i to j builds a light again that was left.
func (p *puzzle) relit(done set, i, j int) bool {
	return p.rules.OneRelight && p.light[j]&done != 0 && p.light[j]&(1<<i) == 0
}

// start returns the setups that are held at the beginning, or every single one.
func (p *puzzle) start(paths *paths) {
	if len(p.first) == 0 {
		for j := range p.setups {
			*paths.at(1<<j, j) = broken * cost(p.breaks(0, j))
		}
		return
	}
	var done set
	for _, i := range p.first {
		done |= 1 << i
	}
	*paths.at(done, p.first[len(p.first)-1]) = 0 // what was held is not to be changed
}

// paths holds the cheapest cost of filming a set of setups, ending with one.
type paths struct {
	n    int
	cost []cost
}

func (t *paths) at(done set, last int) *cost { return &t.cost[int(done)*t.n+last] }

// solve returns the best order.
func (p *puzzle) solve() []int {
	n := len(p.setups)
	if n == 0 {
		return nil
	}
	best := &paths{n, make([]cost, n<<n)}
	for i := range best.cost {
		best.cost[i] = nowhere
	}
	p.start(best)
	for done := set(1); done < 1<<n; done++ {
		row := best.cost[int(done)*n : int(done+1)*n]
		for j := range n {
			if done&(1<<j) != 0 {
				continue
			}
			to := best.at(done|1<<j, j)
			base := broken * cost(p.breaks(done, j))
			for i, c := range row {
				if c != nowhere {
					*to = min(*to, c+base+p.step(done, i, j))
				}
			}
		}
	}
	return p.back(best)
}

// step is what j costs after i, where i was the last of done.
func (p *puzzle) step(done set, i, j int) cost {
	c := p.change[i][j]
	if p.relit(done, i, j) {
		c += broken
	}
	return c
}

// back follows the cheapest costs from the end to the beginning.
func (p *puzzle) back(best *paths) []int {
	n := len(p.setups)
	done := set(1)<<n - 1
	last := 0
	for i := range n {
		if *best.at(done, i) < *best.at(done, last) {
			last = i
		}
	}
	order := []int{last}
	for len(order) < n-max(0, len(p.first)-1) {
		want, before := *best.at(done, last), done&^(1<<last)
		base := broken * cost(p.breaks(before, last))
		for i := range n {
			if c := *best.at(before, i); c != nowhere && c+base+p.step(before, i, last) == want {
				done, last = before, i
				break
			}
		}
		order = append(order, last)
	}
	if len(p.first) > 0 {
		for k := len(p.first) - 2; k >= 0; k-- {
			order = append(order, p.first[k])
		}
	}
	slices.Reverse(order)
	return order
}

// order says what a way through the setups costs and which rules it breaks.
func (p *puzzle) order(way []int) Order {
	o := Order{Setups: way}
	var done set
	for k, j := range way {
		if k > 0 {
			o.ChangeMin += float64(p.change[way[k-1]][j]) / 60
		}
		o.Broken = append(o.Broken, p.brokenBy(way[:k], done, j)...)
		done |= 1 << j
	}
	return o
}

// brokenBy says in words which rules are broken by j after all of done.
func (p *puzzle) brokenBy(before []int, done set, j int) (words []string) {
	name := p.setups[j].Name
	one := set(1) << j
	if p.rules.SafetyFirst && done == 0 && p.safety != 0 && p.safety&one == 0 {
		words = append(words, name+" comes before the safety")
	}
	if p.rules.FacesFirst && p.faces&one != 0 && p.hands&done != 0 {
		words = append(words, name+" comes after hands")
	}
	if p.rules.InsertsLast && p.insert&one == 0 && p.insert&done != 0 {
		words = append(words, name+" comes after an insert")
	}
	if len(before) > 0 && p.relit(done, before[len(before)-1], j) {
		words = append(words, name+" needs a light again that was left")
	}
	for k, s := range p.setups {
		if done&p.after[j]&(1<<k) != 0 {
			words = append(words, name+" comes after "+s.Name)
		}
	}
	return words
}
