//go:build !nocodec

package codec

import (
	"crypto/sha256"
	"encoding/hex"
	"os"
	"strings"
	"testing"
)

func TestEmbeddedFileIsTheOneInTheNotice(t *testing.T) {
	notice, err := os.ReadFile("NOTICE.md")
	if err != nil {
		t.Fatal(err)
	}
	sum := sha256.Sum256(packed)
	if got := hex.EncodeToString(sum[:]); !strings.Contains(string(notice), "`"+got+"`") {
		t.Errorf("the embedded file has SHA-256 %s, which NOTICE.md does not name", got)
	}
}

func TestMainRefusesOtherPrograms(t *testing.T) {
	for _, args := range [][]string{nil, {"ffplay"}, {"sh", "-c", "true"}} {
		if code := Main(args); code == 0 {
			t.Errorf("Main(%q) = 0, want a failure", args)
		}
	}
}
