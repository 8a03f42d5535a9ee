package card

import (
	"bytes"
	"context"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"takeweave/internal/interchange"
)

// trialCount is how many cards are copied with faults; TAKEWEAVE_CARD_TRIALS
// sets another number.
const trialCount = 1100

// TestTrials copies invented cards on failing computers, again and again, and
// asks three things. Never is a card said to be wipeable whose bytes are not on
// two drives. Never does a file of the person's change or go. And when the faults
// end, one more copy ends right.
func TestTrials(t *testing.T) {
	n := trialCount
	if s := os.Getenv("TAKEWEAVE_CARD_TRIALS"); s != "" {
		var err error
		if n, err = strconv.Atoi(s); err != nil {
			t.Fatal(err)
		}
	}
	outcomes := map[string]int{}
	for seed := range n {
		trial := newTrial(t, uint64(seed))
		for range trial.chance.IntN(4) {
			outcomes[trial.faultyRun()]++
		}
		outcomes[trial.lastRun()]++
		if t.Failed() {
			t.Fatalf("seed %d", seed)
		}
	}
	// A trial in which nothing ever went wrong, or everything, shows nothing.
	for _, kind := range []string{"faults: kept", "faults: safe", "faults: interrupted", "faults: could not begin", "last: safe", "last: kept"} {
		if outcomes[kind] < n/100 {
			t.Errorf("%s only %d times: %v", kind, outcomes[kind], outcomes)
		}
	}
	t.Logf("%d cards: %v", n, outcomes)
}

// trial is a card and what must stay of the world around it.
type trial struct {
	t        *testing.T
	chance   *rand.Rand
	disk     *fakeDisk
	plan     Plan
	card     map[string][]byte // by path on the card
	others   map[string][]byte // files of the person's, by whole path
	inTheWay bool              // a file of the person's has a name of the card's: it must be kept
	rotten   bool              // a copy rotted before any list of ours told of it: it may have to be kept
	clock    time.Time
}

// oddNames are what names can be, on cards and elsewhere.
var oddNames = []string{
	"C0001.MP4", "DCIM/100/C0002.MP4", "a b/ c .mov", "line\nend.mov", "\u00e9.mov", "e\u0301.mov", ".hidden", "..dots",
	"x" + strings.Repeat("long", 60) + ".mov", "1.part", "list.part", "emoji 🎸.wav", "back\\slash", "no\x01control", "\xff\xfe", "%20", "'\"`$(x)", "-rf",
	"deep/er/and/deep/er/still.xml", "takeweave.part.mov", "ascmhl.mov", "CON", "trailing. ",
}

func newTrial(t *testing.T, seed uint64) *trial {
	r := &trial{
		t: t, chance: rand.New(rand.NewPCG(seed, 7)), disk: newFakeDisk(),
		card: map[string][]byte{}, others: map[string][]byte{}, clock: aDay,
	}
	r.disk.chance = rand.New(rand.NewPCG(seed, 8))
	r.disk.makeDirs("/card/empty")
	names := slices.Clone(oddNames)
	r.chance.Shuffle(len(names), func(i, j int) { names[i], names[j] = names[j], names[i] })
	for _, name := range names[:1+r.chance.IntN(6)] {
		r.shoot(name)
	}
	r.plan = Plan{
		From: "/card", To: []string{"/a/film", "/b/film"}, Host: "test", disk: r.disk,
		Now: func() time.Time { r.clock = r.clock.Add(time.Minute); return r.clock },
	}
	if r.chance.IntN(4) == 0 {
		r.plan.To = append(r.plan.To, "/c/film")
	}
	r.person("/a/film/notes.txt", []byte("mine"))
	if r.chance.IntN(8) == 0 {
		r.person("/b/film/"+names[0], []byte("another card's"))
		r.inTheWay = true
	}
	if r.plan.ReadCardTwice = r.chance.IntN(3) == 0; !r.plan.ReadCardTwice && r.chance.IntN(3) == 0 {
		r.list() // without the files that it cannot name
	}
	_, there := r.card[names[0]]
	r.inTheWay = r.inTheWay && there
	return r
}

func (r *trial) shoot(name string) {
	b := make([]byte, []int{0, 1, 31, 4096, 9000}[r.chance.IntN(5)])
	for i := range b {
		b[i] = byte(r.chance.Uint32())
	}
	r.card[name] = b
	r.disk.put("/card/"+name, b, aDay)
}

func (r *trial) person(path string, b []byte) {
	r.others[path] = b
	r.disk.put(path, b, aDay)
}

// list gives the card a hash list of its own, by MD5.
func (r *trial) list() {
	l := &interchange.HashList{Made: aDay, Process: interchange.InPlace}
	for name, b := range r.card {
		if !interchange.CanList(name) {
			delete(r.card, name)
			delete(r.disk.files, "/card/"+name)
			continue
		}
		s := newSumming([]interchange.HashFormat{interchange.MD5Hash})
		_, _ = s.Write(b)
		l.Files = append(l.Files, interchange.HashedFile{Path: name, Size: int64(len(b)), Hashes: []interchange.HashValue{{
			Format: interchange.MD5Hash, Digits: s.sums()[interchange.MD5Hash], Action: interchange.HashOriginal,
		}}})
	}
	text := interchange.WriteHashList(l)
	name := interchange.HashListName(1, "card", aDay)
	r.card["ascmhl/"+name] = text
	r.card["ascmhl/"+interchange.ChainName] = interchange.WriteChain([]interchange.ChainLink{{Number: 1, Path: name, C4: interchange.C4(text)}})
	for _, p := range []string{name, interchange.ChainName} {
		r.disk.put("/card/ascmhl/"+p, r.card["ascmhl/"+p], aDay)
	}
	r.plan.Logged = nil
}

// hasList reports whether the card carries a list, which finds flips on its way.
func (r *trial) hasList() bool { return r.card["ascmhl/"+interchange.ChainName] != nil }

// faultyRun copies once on a failing computer.
func (r *trial) faultyRun() string {
	f := faults{}
	if r.plan.ReadCardTwice || r.hasList() {
		f.cardFlip = r.some(0.1)
	}
	for _, p := range []*float64{
		&f.readFlip, &f.writeFlip, &f.earlyEnd, &f.shortWrite, &f.lostWrite, &f.readError, &f.writeError, &f.syncError, &f.renameError,
	} {
		if r.chance.IntN(5) == 0 {
			*p = r.some(0.1)
		}
	}
	f.shortRead = r.some(0.9)
	switch r.chance.IntN(6) {
	case 0:
		f.goneAt, f.gone = 1+r.chance.IntN(150), []string{"card", "a", "b"}[r.chance.IntN(3)]
	case 1:
		f.full = map[string]int{"a": r.chance.IntN(20_000)}
	case 2:
		f.killAt = 1 + r.chance.IntN(250)
	case 3:
		f.warm = []string{"a", "b"}[r.chance.IntN(2)]
	}
	r.disk.faults = f
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	r.disk.kill = cancel
	plan := r.plan
	plan.Repair = r.chance.IntN(3) == 0
	receipt, err := Copy(ctx, plan, nil)
	r.disk.restart()
	r.check(receipt, f)
	r.live()
	switch {
	case receipt.MayBeWiped:
		return "faults: safe"
	case ctx.Err() != nil:
		return "faults: interrupted"
	case err != nil:
		return "faults: could not begin"
	}
	return "faults: kept"
}

func (r *trial) some(most float64) float64 { return most * r.chance.Float64() * r.chance.Float64() }

// live is what happens between two copies: a byte rots on a drive, the camera
// goes on.
func (r *trial) live() {
	if r.chance.IntN(4) == 0 {
		var finals []string
		for p, f := range r.disk.files {
			if _, onCard := r.card[strings.TrimPrefix(p, "/b/film/")]; onCard && len(f.bytes) > 0 && r.others[p] == nil && !strings.Contains(p, "ascmhl/") {
				finals = append(finals, p)
			}
		}
		if slices.Sort(finals); len(finals) > 0 {
			p := finals[r.chance.IntN(len(finals))]
			f := r.disk.files[p]
			f.bytes[r.chance.IntN(len(f.bytes))] ^= 4
			f.synced = bytes.Clone(f.bytes)
			h, err := loadHistory(r.disk, "/b/film")
			if err != nil {
				r.t.Fatal(err)
			}
			if h.known[strings.TrimPrefix(p, "/b/film/")].sums[ours] == "" {
				r.rotten = true
			}
		}
	}
	if r.chance.IntN(4) == 0 && !r.hasList() {
		r.shoot(fmt.Sprintf("NEW%d.MP4", len(r.card)))
	}
}

// lastRun copies with nothing failing.
func (r *trial) lastRun() string {
	plan := r.plan
	plan.Repair = true
	receipt, err := Copy(context.Background(), plan, nil)
	r.check(receipt, faults{})
	if err != nil {
		r.t.Errorf("the last copy could not be made: %v", err)
	}
	if !r.inTheWay && !r.rotten && !receipt.MayBeWiped {
		r.t.Errorf("the last copy did not end right: %v %v", receipt.Why, receipt.Problems)
	}
	for p := range r.disk.files {
		if strings.Contains(p, "/"+partFolder+"/") {
			r.t.Errorf("%q was left", p)
		}
	}
	if !receipt.MayBeWiped {
		return "last: kept"
	}
	for _, dir := range r.plan.To {
		if !slices.ContainsFunc(slices.Collect(maps.Keys(r.card)), func(p string) bool { return inLists(p) && interchange.CanList(p) }) {
			break // no file that a list could name
		}
		if checked, err := verify(context.Background(), r.disk, dir, aDay, func(int64, int64, string) {}); err != nil || !checked.Good() {
			r.t.Errorf("%s was not verified: %v, %+v", dir, err, checked)
		}
	}
	return "last: safe"
}

// check compares a receipt and the world with what was meant.
func (r *trial) check(receipt Receipt, f faults) {
	r.t.Helper()
	for p, want := range r.card {
		if got := r.disk.files["/card/"+p]; got == nil || !bytes.Equal(got.bytes, want) {
			r.t.Errorf("%q changed on the card", p)
		}
	}
	for p, want := range r.others {
		if got := r.disk.files[p]; got == nil || !bytes.Equal(got.bytes, want) {
			r.t.Errorf("%q, the person's own, changed", p)
		}
	}
	if receipt.MayBeWiped && (r.inTheWay || r.wholeDrives(f.warm) < 2) {
		r.t.Errorf("said to be wipeable, but only %d drives hold it: %+v", r.wholeDrives(f.warm), receipt)
	}
}

// wholeDrives counts the drives that hold every byte of the card, synced.
func (r *trial) wholeDrives(warm string) int {
	n := 0
	for _, dir := range r.plan.To {
		whole := drive(dir) != warm
		for p, want := range r.card {
			got := r.disk.files[filepath.Join(dir, p)]
			// The card's chain goes on in the copy's.
			ownChain := p == "ascmhl/"+interchange.ChainName
			whole = whole && got != nil && (ownChain || bytes.Equal(got.synced, want))
		}
		if whole {
			n++
		}
	}
	return n
}
