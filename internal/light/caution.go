package light

// Where is a place of the plan at which a caution is shown.
type Where string

// The places.
const (
	AtPower    Where = "power"
	AtLeads    Where = "leads"
	AtLamps    Where = "lamps"
	AtBattery  Where = "batteries"
	AtStands   Where = "stands"
	AtExits    Where = "exits"
	AtHearing  Where = "hearing"
	AtFlashing Where = "flashing"
	AtPeople   Where = "people"
	AtRights   Where = "rights"
	AtData     Where = "data"
)

// Caution is what a person is told, once, where it matters.
type Caution struct {
	Where Where  `json:"where"`
	Text  string `json:"text"`
}

// Cautions are all of them, in the order of a day. They defer to local codes, the
// venue and licensed people, and open or bypass nothing. Common practice, but
// where a text names its guidance; for hearing [NIOSH98-126], and for flashing
// [WCAG22].
var Cautions = []Caution{
	{AtPower, "This is an estimate, not a certification. Follow local electrical code and the venue's rules; if the circuit or wiring is unknown, old, warm, damp or has tripped, stop and ask the venue or a licensed electrician. Several sockets are usually one circuit, and what the house runs is on it too. Power supplies draw more when they are switched on: one after the other. A breaker that trips is telling something."},
	{AtLeads, "Unwind reels fully: a wound one carries far less and grows hot. Long thin leads lose voltage. Use leads that are whole, dry and rated for the load, and do not chain them."},
	{AtLamps, "Keep the maker's clearances. Nothing is draped over a hot lamp. Let it cool for 15 minutes before packing, and never leave it on alone."},
	{AtBattery, "Carry batteries undamaged and in cases. Carriers commonly limit them to 100 Wh: ask yours."},
	{AtStands, "A leg under the load and weight on that leg; a safety bond on what hangs above people; lower before moving. Rigging to a building is for qualified riggers, with the owner's consent."},
	{AtExits, "No lead crosses an exit untaped. Keep exits, alarms and extinguishers usable. Haze or smoke only with the venue's written agreement."},
	{AtHearing, "Guidance often used is 85 dB(A) for 8 hours, halving for every 3 dB: an hour at 94, a quarter of an hour at 100. A phone is not a calibrated meter. Follow local workplace rules."},
	{AtFlashing, "More than three flashes in any second over a large area can harm people with photosensitive epilepsy; flare cuts and flickering practicals count. Passing a check here is no medical guarantee: use the test your recipient requires."},
	{AtPeople, "Get a written release before the release. Minors need guardians, and local rules for child performers. Agree who may see raw passes; consent can name uses and an end. Plan breaks and water: the voice is a part of the body."},
	{AtRights, "Not legal advice. Composition, recording, performance, place and artwork want a permission each; a cover filmed to picture usually needs the publisher's consent, and printed lyrics need permission too. Laws differ by country: ask a qualified adviser."},
	{AtData, "Everything stays on this machine; sharing is something you do. Nothing here wipes, formats or deletes originals."},
}

// CautionAt returns what is shown at a place, "" if there is nothing.
func CautionAt(where Where) string {
	for _, c := range Cautions {
		if c.Where == where {
			return c.Text
		}
	}
	return ""
}
