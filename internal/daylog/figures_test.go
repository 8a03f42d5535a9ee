package daylog

import (
	"math"
	"testing"
)

// TestFigures has a morning of three whole passes, a false start, a pickup and
// one that rolls: 252 s of song in 282 s of rolling, 5.3 GB each, 120 s between.
func TestFigures(t *testing.T) {
	s := State{CardFreeGB: 64, CardAtMS: noon - 1}
	at := noon
	roll := func(e Entry, seconds, pause int64) {
		e.RollingMS, e.CutMS = at, at+seconds*1000
		at = e.CutMS + pause*1000
		s.Entries = append(s.Entries, e)
	}
	roll(Entry{ID: "1"}, 282, 60)
	roll(Entry{ID: "2", Verdict: Lost}, 20, 100)
	roll(Entry{ID: "3"}, 282, 900) // a break
	roll(Entry{ID: "4", Voice: HalfVoice}, 282, 80)
	roll(Entry{ID: "5", Lines: "V2.3"}, 200, 40)
	s.Entries = append(s.Entries, Entry{ID: "6", RollingMS: at})
	s.Running = "6"
	now := at + 141_000 // half through
	f := s.FiguresAt(Plan{SongS: 252, RollS: 282, BetweenS: 120, GBPerPass: 5.3, KeyBackMS: now + 600_000, PassesToGo: 2, OtherS: 100}, now)

	rolled := 3*282 + 20 + 200 + 141.
	if f.VoiceCount != 3 { // 1, 3 and the one that rolls
		t.Errorf("voice count %d, want 3", f.VoiceCount)
	}
	if math.Abs(f.MinutesRolled-rolled/60) > 1e-9 {
		t.Errorf("%.3f minutes rolled, want %.3f", f.MinutesRolled, rolled/60)
	}
	if want := (rolled + 60 + 100 + 900 + 80 + 40) / 60; math.Abs(f.MinutesUsed-want) > 1e-9 {
		t.Errorf("%.3f minutes used, want %.3f", f.MinutesUsed, want)
	}
	if want := int((64 - rolled*5.3/282) / 5.3); f.PassesLeft != want {
		t.Errorf("%d passes left, want %d", f.PassesLeft, want)
	}
	if f.BetweenS != 80 { // the median of 40, 60, 80, 100 rounded up; the break is none
		t.Errorf("%.0f s between, want 80", f.BetweenS)
	}
	toGo := 2*(282+80) + 100 - 141.
	if want := now + int64(toGo*1000); f.FinishMS != want {
		t.Errorf("finish %d, want %d", f.FinishMS, want)
	}
	if math.Abs(f.MinutesLeft-10) > 1e-9 || math.Abs(f.BehindMinutes-(toGo-600)/60) > 1e-9 {
		t.Errorf("%.2f minutes left, %.2f too few", f.MinutesLeft, f.BehindMinutes)
	}
}

func TestFiguresOfAnEmptyDay(t *testing.T) {
	s := Replay(nil)
	f := s.FiguresAt(Plan{SongS: 252, RollS: 282, BetweenS: 120, GBPerPass: 5.3, PassesToGo: 18}, noon)
	if f.PassesLeft != -1 || f.VoiceCount != 0 || f.MinutesUsed != 0 || f.FinishMS != noon+18*402_000 {
		t.Errorf("%+v", f)
	}
}
