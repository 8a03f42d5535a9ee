package page_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"takeweave/internal/daylog"
	"takeweave/internal/workbench"
)

var phoneTypesFile = filepath.Join("..", "..", "..", "ui", "src", "phone", "types.ts")

// spokenByPhones are all that goes over the wire between program and phones, and
// the state that both make of the events.
var spokenByPhones = []any{workbench.DayState{}, workbench.DayEvents{}, workbench.DayTaken{}, workbench.DayPhoto{}, daylog.State{}}

// TestPhoneTypesAreThoseOfGo keeps the phone's types from drifting away from Go's.
func TestPhoneTypesAreThoseOfGo(t *testing.T) {
	_, types, _ := strings.Cut(typeScript(spokenByPhones), "base/time\";\n")
	want := "// Made from the Go types by a test in internal/workbench/page; do not edit.\n" + types
	if *update {
		if err := os.WriteFile(phoneTypesFile, []byte(want), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	got, err := os.ReadFile(phoneTypesFile)
	if err != nil {
		t.Fatal(err)
	}
	if string(got) != want {
		t.Error("ui/src/phone/types.ts is not what the Go types say; run: go test ./internal/workbench/page -update, then make the bundle again")
	}
}
