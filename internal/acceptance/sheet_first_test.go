package acceptance

import (
	"os/exec"
	"path/filepath"
	"testing"
)

// A new film and a folder of clips: the page is there at once, says how far the
// work is, and ends with the ribbons of the passes.
func TestFirstRunInTheBrowser(t *testing.T) {
	clips := links(t, "day01", "C0059.MP4", "C0062.MP4")
	dir := filepath.Join(t.TempDir(), "film")
	takeweave(t, "new", dir, "--song", practice(t, "day01", "song.flac")).want(t, 0)
	address := serveWith(t, exec.Command(program, "serve", dir, "--clips", clips, "--json"))
	w := open(t, address, 1440, 900)

	// The page and the work begin at the same moment: whichever of the page's states
	// is caught first, something is said in it.
	w.until("the page says something", `document.querySelector("h1").innerText !== "" && document.body.innerText.length > 20`)
	w.until("progress is said", `document.querySelector(".tw-working [role=status]") || document.querySelector(".tw-twin, .tw-row")`)
	w.until("the song is set", `document.querySelectorAll(".tw-row").length > 5`)
	w.until("the passes lie under it", `/2 passes of \d setups?/.test(document.querySelector(".tw-facts").innerText)`)
	w.press("dd") // past the intro
	w.until("the row at hand tells of them", `/holds|refused|doubtful/.test(document.querySelector(".tw-row[data-current] ul").innerText)`)
	w.until("the cut hangs above them", `document.querySelectorAll(".tw-shot").length > 2`)
	w.until("the work has ended", `!document.querySelector(".tw-working")`)
}
