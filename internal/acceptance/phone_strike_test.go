package acceptance

import (
	"os"
	"path/filepath"
	"testing"
)

// hold holds a word until its answer is there.
func (w window) hold(word string) {
	w.t.Helper()
	w.until(word+" is there", hasTarget(word))
	eval[bool](w, target(word)+`.dispatchEvent(new PointerEvent("pointerdown", { bubbles: true }))`)
}

func (w window) untilSays(words string) {
	w.t.Helper()
	w.until("it says "+words, `document.body.innerText.includes(`+quoted(words)+`)`)
}

// "May I strike this lamp?" from NO to YES, with what is needed to have it back;
// then everything that is to be done before leaving, and the one word.
func TestStrikeAndLeave(t *testing.T) {
	s := onTheDay(t)
	w := s.newPhone(390, 844).scan()
	w.songIsKnown()
	w.tap("more", "lamps", "back", "close", "setup", "wide")
	w.tap("strike")
	w.hold("back")
	w.untilSays("NO")
	w.untilSays("wide")
	w.tap("close", "close", "Rolling", "Keep")
	w.tap("strike")
	w.hold("back")
	w.untilSays("look at focus and playback of pass 1 (wide)")
	s.cable.breaks(silence) // then the program may not know all
	w.untilSays("WAIT")
	s.mends(w)
	w.tap("looked at")
	w.untilSays("YES, BUT")
	w.untilSays("one match only")
	w.tap("close", "close", "Rolling", "Keep", "note", "looked at", "strike")
	w.hold("back")
	w.until("a plain YES", `document.querySelector(".figure")?.innerText === "YES"`)
	w.tap("note it")
	w.until("a photo is asked for", hasTarget("photo"))
	eval[bool](w, `new Promise(done => {
		const canvas = document.createElement("canvas");
		canvas.width = 3000; canvas.height = 2000;
		canvas.toBlob(blob => {
			const files = new DataTransfer(), input = document.querySelector("input[type=file]");
			files.items.add(new File([blob], "lamp.jpg", { type: "image/jpeg" }));
			input.files = files.files;
			done(input.dispatchEvent(new Event("change", { bubbles: true })));
		}, "image/jpeg");
	})`)
	w.tap("+50", "−5", "next") // height
	w.tap("next")              // distance
	w.tap("+10", "+1", "next") // dial
	w.tap("½ CTO")
	w.untilSays("back noted")
	log := s.log()
	var struck *struckThing
	for _, e := range log {
		if e.Kind == "strike" {
			struck = e.Struck
		}
	}
	if struck == nil || struck.Name != "back" || struck.HeightCM != 195 || struck.DistanceCM != 150 || struck.Dial != "61 %" || struck.Gel != "½ CTO" || struck.Photo == "" {
		t.Fatalf("noted %+v", struck)
	}
	w.until("all is sent", `!/to send|offline/.test(document.body.innerText)`)
	if st, err := os.Stat(filepath.Join(s.dir, "day", struck.Photo+".jpg")); err != nil || st.Size() == 0 {
		t.Errorf("the photo: %v", err)
	}

	w.tap("more", "put back", "add", "rug", "close", "more", "leaving")
	w.untilSays("put back: rug")
	w.tap("tone")
	eval[bool](w, `(() => { const now = Date.now; Date.now = () => now() + 61_000; return true; })()`)
	w.tap("done", "signed", "cards", "0", "things", "rug", "close", "more", "leaving")
	w.until("one word", `document.querySelector(".figure")?.innerText === "Leave."`)
	s.cable.breaks(silence)
	w.tap("close", "note", "lovely", "more", "leaving")
	w.untilSays("not sent yet")
	s.mends(w)
	w.until("one word again", `document.querySelector(".figure")?.innerText === "Leave."`)
}
