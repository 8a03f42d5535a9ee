package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

var top = filepath.Join("..", "..")

// TestThePageIsOfTheseSources wants the bundle that is kept to be the one that the
// sources give.
func TestThePageIsOfTheseSources(t *testing.T) {
	if err := run(top, true, ""); err != nil {
		t.Error(err)
	}
}

// TestThePageTestsPass runs the page's own tests where there is a Node to run them.
func TestThePageTestsPass(t *testing.T) {
	node, err := exec.LookPath("node")
	if err != nil {
		t.Skip("no node here: the page's own tests are not run")
	}
	out := t.TempDir()
	if err := run(top, false, out); err != nil {
		t.Fatal(err)
	}
	files, err := filepath.Glob(filepath.Join(out, "*", "*.mjs"))
	if err != nil || len(files) == 0 {
		t.Fatal("no tests were made", err)
	}
	said, err := exec.Command(node, append([]string{"--test"}, files...)...).CombinedOutput()
	if err != nil {
		t.Errorf("%v\n%s", err, said)
	}
}

// TestThePageHasItsTypesRight runs the TypeScript checker where there is one: TSC
// names it, else the path is searched.
func TestThePageHasItsTypesRight(t *testing.T) {
	tsc := os.Getenv("TSC")
	if tsc == "" {
		tsc = "tsc"
	}
	tsc, err := exec.LookPath(tsc)
	if err != nil {
		t.Skip("no tsc here: the types of the page are not checked")
	}
	if said, err := exec.Command(tsc, "-p", filepath.Join(top, "ui")).CombinedOutput(); err != nil {
		t.Errorf("%v\n%s", err, said)
	}
}
