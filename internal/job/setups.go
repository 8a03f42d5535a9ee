package job

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"os"
	"path"
	"regexp"
	"strconv"
	"strings"

	"takeweave/internal/film"
)

// SetupsFile is the simple table that may lie in the folder of clips:
// a first row of column names (setup, shows, size, serves, safety, angle,
// magnify, files, in any order; only setup is needed), then a row a setup. serves
// lists sections and files lists name patterns, both separated by spaces.
const SetupsFile = "setups.csv"

// setupRow is one row of the table.
type setupRow struct {
	film.Setup
	files []string
}

// readSetups reads the table; a missing file gives no rows.
func readSetups(name string) ([]setupRow, error) {
	f, err := os.Open(name)
	if errors.Is(err, os.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	defer f.Close()
	rows, err := parseSetups(f)
	if err != nil {
		return nil, &film.Error{Code: film.CodeUsage, Path: name, Msg: "is not a table of setups", Hint: "the first row names the columns: setup,shows,size,serves,safety,angle,magnify,files", Err: err}
	}
	return rows, nil
}

func parseSetups(in io.Reader) ([]setupRow, error) {
	r := csv.NewReader(in)
	r.FieldsPerRecord = -1
	r.TrimLeadingSpace = true
	all, err := r.ReadAll()
	if err != nil {
		return nil, err
	}
	if len(all) == 0 {
		return nil, nil
	}
	column := map[string]int{}
	for i, name := range all[0] {
		column[strings.ToLower(strings.TrimSpace(strings.TrimPrefix(name, "\ufeff")))] = i
	}
	if _, ok := column["setup"]; !ok {
		return nil, fmt.Errorf("no column is named setup, only %s", strings.Join(all[0], ", "))
	}
	var rows []setupRow
	for n, rec := range all[1:] {
		get := func(name string) string {
			if i, ok := column[name]; ok && i < len(rec) {
				return strings.TrimSpace(rec[i])
			}
			return ""
		}
		row := setupRow{Setup: film.Setup{Name: get("setup"), Shows: film.Shows(strings.ToLower(get("shows"))), Size: film.Size(strings.ToLower(get("size"))), Serves: strings.Fields(get("serves"))}, files: strings.Fields(get("files"))}
		if row.Name == "" {
			continue
		}
		switch row.Shows {
		case film.ShowsUnknown, film.ShowsLips, film.ShowsHands, film.ShowsBoth, film.ShowsNeither:
		default:
			return nil, fmt.Errorf("row %d: shows is %q; it may be lips, hands, both or neither", n+2, row.Shows)
		}
		switch row.Size {
		case film.SizeUnknown, film.SizeWide, film.SizeMid, film.SizeClose, film.SizeInsert:
		default:
			return nil, fmt.Errorf("row %d: size is %q; it may be wide, mid, close or insert", n+2, row.Size)
		}
		if err := row.read(get); err != nil {
			return nil, fmt.Errorf("row %d: %w", n+2, err)
		}
		for _, p := range row.files {
			if _, err := path.Match(p, ""); err != nil {
				return nil, fmt.Errorf("row %d: %q is not a file name pattern", n+2, p)
			}
		}
		rows = append(rows, row)
	}
	return rows, nil
}

// read reads the columns that hold numbers and a yes or no.
func (r *setupRow) read(get func(column string) string) error {
	switch v := strings.ToLower(get("safety")); v {
	case "", "no":
	case "yes":
		r.Safety = true
	default:
		return fmt.Errorf("safety is %q; it may be yes or no", v)
	}
	if v := get("angle"); v != "" {
		deg, err := strconv.ParseFloat(v, 64)
		if err != nil || !(deg >= -360 && deg <= 360) {
			return fmt.Errorf("angle is %q; it is in degrees around the subject, 0 in front", v)
		}
		r.AngleDeg = &deg
	}
	if v := get("magnify"); v != "" {
		times, err := strconv.ParseFloat(v, 64)
		if err != nil || !(times > 0 && times <= 1000) {
			return fmt.Errorf("magnify is %q; it says how large the subject is beside other setups, 2 is twice as tall", v)
		}
		r.Magnify = times
	}
	return nil
}

// cardFolder matches folders that cameras make by themselves, which name no
// setup: DCIM and its numbered folders (JEITA DCF, from memory), and the
// stream folders of AVCHD and its relatives (common practice).
var cardFolder = regexp.MustCompile(`(?i)^(dcim|\d{3}[a-z0-9_]{5}|private|avchd|bdmv|stream|m4root|clip|clips|xdroot|contents|video|media)$`)

// setupFromFolder names a clip's setup after the folder it lies in; "" when
// that folder is the card's own. file is relative to the clips folder, slashes.
func setupFromFolder(file string) string {
	dir := path.Base(path.Dir(file))
	if dir == "." || dir == "/" || cardFolder.MatchString(dir) {
		return ""
	}
	return dir
}

// guessSetup says what a setup shows from words in its name. The words are
// common practice; the person's table always wins.
func guessSetup(name string) film.Setup {
	s := film.Setup{Name: name}
	has := func(words ...string) bool {
		for _, w := range words {
			if strings.Contains(strings.ToLower(name), w) {
				return true
			}
		}
		return false
	}
	s.Safety = has("safety")
	switch {
	case has("wide", "safety", "master", "full"):
		s.Shows, s.Size = film.ShowsBoth, film.SizeWide
	case has("mid", "medium", "waist"):
		s.Shows, s.Size = film.ShowsBoth, film.SizeMid
	case has("face", "lips", "mouth", "profile"):
		s.Shows, s.Size = film.ShowsLips, film.SizeClose
	case has("hand", "pick", "strum", "string", "fret", "finger", "keys"):
		s.Shows, s.Size = film.ShowsHands, film.SizeClose
	case has("insert", "detail", "macro"):
		s.Shows, s.Size = film.ShowsHands, film.SizeInsert
	case has("room", "lamp", "cutaway", "atmos"):
		s.Shows, s.Size = film.ShowsNeither, film.SizeUnknown
	}
	return s
}
