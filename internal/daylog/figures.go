package daylog

import (
	"math"
	"slices"
)

// Plan is what the figures of the day need besides the log.
type Plan struct {
	SongS      float64 `json:"song_s"`       // length of the song
	RollS      float64 `json:"roll_s"`       // how long the camera rolls in a whole pass
	BetweenS   float64 `json:"between_s"`    // planned from a cut to the next rolling, until three were measured
	GBPerPass  float64 `json:"gb_per_pass"`  // of a whole pass, RollS long
	KeyBackMS  int64   `json:"key_back_ms"`  // when the room has to be left; 0 when open
	PassesToGo int     `json:"passes_to_go"` // still wanted, the running one included
	OtherS     float64 `json:"other_s"`      // changes, pickups and all else that is to come
}

// Figures are the few numbers that the phone shows.
type Figures struct {
	VoiceCount    int     `json:"voice_count"`     // full-voice passes that went at least half through the song
	MinutesUsed   float64 `json:"minutes_used"`    // since the camera first rolled
	MinutesRolled float64 `json:"minutes_rolled"`  // with the camera rolling
	MinutesLeft   float64 `json:"minutes_left"`    // until the key goes back; 0 when open
	PassesLeft    int     `json:"passes_left"`     // whole passes that fit on the card; -1 when not known
	BetweenS      float64 `json:"between_s"`       // from a cut to the next rolling, as measured today or planned
	FinishMS      int64   `json:"finish_ms"`       // when all that is wanted will be done
	BehindMinutes float64 `json:"minutes_too_few"` // how much the finish lies after the key goes back; 0 when it does not
}

// longestBetweenS keeps breaks and changes of setup out of the measured pause
// between two passes. Common practice: a pause between passes takes 2 minutes.
const longestBetweenS = 480

// FiguresAt returns the figures at a time on the phone's clock.
func (s *State) FiguresAt(p Plan, nowMS int64) Figures {
	f := Figures{PassesLeft: -1, BetweenS: s.between(p)}
	var onCardS float64
	for i := range s.Entries {
		e := &s.Entries[i]
		rolled := e.rolledBy(p, nowMS, e.ID == s.Running)
		f.MinutesRolled += rolled / 60
		if e.Voice == FullVoice && e.Lines == "" && rolled >= p.SongS/2 {
			f.VoiceCount++
		}
		if e.RollingMS >= s.CardAtMS {
			onCardS += rolled
		}
		if e.RollingMS > 0 {
			f.MinutesUsed = max(f.MinutesUsed, float64(nowMS-e.RollingMS)/60_000)
		}
	}
	if s.CardAtMS > 0 && p.GBPerPass > 0 && p.RollS > 0 {
		left := s.CardFreeGB - onCardS*p.GBPerPass/p.RollS
		f.PassesLeft = max(0, int(math.Floor(left/p.GBPerPass+1e-9)))
	}
	toGo := float64(p.PassesToGo)*(p.RollS+f.BetweenS) + p.OtherS
	if i := s.index(s.Running); i >= 0 {
		toGo -= math.Min(p.RollS, s.Entries[i].rolledBy(p, nowMS, true))
	}
	f.FinishMS = nowMS + int64(1000*math.Max(0, toGo))
	if p.KeyBackMS > 0 {
		f.MinutesLeft = math.Max(0, float64(p.KeyBackMS-nowMS)/60_000)
		f.BehindMinutes = math.Max(0, float64(f.FinishMS-p.KeyBackMS)/60_000)
	}
	return f
}

// rolledBy returns how long an entry has rolled until now, in seconds; a pass
// that was never cut counts as a whole one.
func (e *Entry) rolledBy(p Plan, nowMS int64, running bool) float64 {
	switch rolled, known := e.rolledS(); {
	case known:
		return math.Max(0, rolled)
	case running:
		return math.Max(0, float64(nowMS-e.RollingMS)/1000)
	case e.Lines != "":
		return 0
	}
	return p.RollS
}

// between returns the pause between passes: the median of today's from the
// third on.
func (s *State) between(p Plan) float64 {
	var pauses []float64
	for i := 1; i < len(s.Entries); i++ {
		a, b := &s.Entries[i-1], &s.Entries[i]
		pause := float64(b.RollingMS-a.CutMS) / 1000
		if a.CutMS > 0 && b.RollingMS > 0 && a.Setup == b.Setup && pause >= 0 && pause <= longestBetweenS {
			pauses = append(pauses, pause)
		}
	}
	if len(pauses) < 3 {
		return p.BetweenS
	}
	slices.Sort(pauses)
	return pauses[len(pauses)/2]
}

// index returns where the entry is in the order, -1 when it is not there.
func (s *State) index(id string) int {
	return slices.IndexFunc(s.Entries, func(e Entry) bool { return e.ID == id })
}
