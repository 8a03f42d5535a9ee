// Command notices prints docs/notices.md: the licence of every module that is
// linked into the binary on any of the systems it is built for, read from the
// modules themselves.
//
// Usage, from the tools folder: go run ./notices ..
package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"sort"
	"strings"
)

// systems are those whose linked modules are told of; each brings its own few.
var systems = []string{"linux", "darwin", "windows"}

const introduction = `# Notices

takeweave is free software under the GNU General Public License, version 3 or
later: [LICENSE](../LICENSE). It links the modules below, under their own
licences. This page is made by ` + "`make notices`" + `; do not edit it by hand.

## The embedded codec

The binary carries FFmpeg n5.1.10, compiled to WebAssembly with its GPL version 3
parts by the module codeberg.org/gruf/go-ffmpreg, and in it these libraries:

| library | licence |
| --- | --- |
| FFmpeg | GPL-3.0-or-later as configured here (LGPL-2.1-or-later in its main parts) |
| x264 (H.264 encoding) | GPL-2.0-or-later |
| LAME (MP3 encoding) | LGPL-2.0-or-later |
| Opus | BSD-3-Clause |
| libvpx (VP8, VP9) | BSD-3-Clause |
| libaom (AV1) | BSD-2-Clause, with the Alliance for Open Media Patent License 1.0 |
| libwebp | BSD-3-Clause |
| zlib | Zlib |

The module's ` + "`build`" + ` folder holds the scripts, the patch and the versions from which
the embedded program is built: that, with the sources it names, is its
corresponding source. A native FFmpeg, when one is found, is a program of its own
and is not part of takeweave.

Some formats may be covered by patents in some countries. Whoever distributes
takeweave or films made with it checks what applies to them.

## Modules
`

func main() {
	if err := run(os.Args[1:], os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "notices:", err)
		os.Exit(1)
	}
}

// carried are the works of others that lie in this checkout and in the binary.
func carried(top string) []module {
	in := func(path ...string) string { return filepath.Join(append([]string{top}, path...)...) }
	return []module{
		{Path: "Preact (in the page of the song sheet)", Dir: in("ui", "vendor", "preact")},
		{Path: "@preact/signals (in the page)", Dir: in("ui", "vendor", "signals")},
		{Path: "@preact/signals-core (in the page)", Dir: in("ui", "vendor", "signals-core")},
		{Path: "The face net's weights, from @vladmandic/face-api 1.7.15", Dir: in("internal", "picture", "model")},
	}
}

func run(args []string, out io.Writer) error {
	if len(args) != 1 {
		return errors.New("give the top of the checkout")
	}
	modules, err := linked(args[0])
	if err != nil {
		return err
	}
	ours, err := os.ReadFile(filepath.Join(args[0], "LICENSE"))
	if err != nil {
		return err
	}
	var page bytes.Buffer
	page.WriteString(introduction)
	seen := map[string]string{squeezed(string(ours)): "the GNU General Public License, version 3, in [LICENSE](../LICENSE)"}
	for _, m := range append(modules, carried(args[0])...) {
		title := m.Path
		if m.Version != "" {
			title += " " + m.Version
		}
		fmt.Fprintf(&page, "\n### %s\n", title)
		texts, err := licences(m.Dir)
		if err != nil {
			return err
		}
		if len(texts) == 0 {
			return fmt.Errorf("%s has no licence file", m.Path)
		}
		for _, text := range texts {
			if where, ok := seen[squeezed(text)]; ok {
				fmt.Fprintf(&page, "\nThe same text as %s.\n", where)
				continue
			}
			seen[squeezed(text)] = "under " + title
			fmt.Fprintf(&page, "\n~~~~~~~~text\n%s\n~~~~~~~~\n", strings.TrimSpace(text))
		}
	}
	_, err = out.Write(page.Bytes())
	return err
}

type module struct {
	Path, Version, Dir string
	Main               bool
}

// linked returns the modules that the command is built from, by path, with
// Go's own library first.
func linked(root string) ([]module, error) {
	found := map[string]module{}
	for _, system := range systems {
		cmd := exec.Command("go", "list", "-deps", "-json=Module", "./cmd/...", "./internal/...")
		cmd.Dir = root
		cmd.Env = append(os.Environ(), "GOOS="+system, "CGO_ENABLED=0")
		cmd.Stderr = os.Stderr
		out, err := cmd.Output()
		if err != nil {
			return nil, fmt.Errorf("list what is linked on %s: %w", system, err)
		}
		for d := json.NewDecoder(bytes.NewReader(out)); ; {
			var p struct{ Module *module }
			if err := d.Decode(&p); err == io.EOF {
				break
			} else if err != nil {
				return nil, err
			}
			if p.Module != nil && !p.Module.Main {
				found[p.Module.Path] = *p.Module
			}
		}
	}
	var all []module
	for _, m := range found {
		all = append(all, m)
	}
	sort.Slice(all, func(i, j int) bool { return all[i].Path < all[j].Path })
	goroot, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return nil, err
	}
	library := module{Path: "The Go library, " + runtime.Version(), Dir: strings.TrimSpace(string(goroot))}
	return append([]module{library}, all...), nil
}

// licences returns the licence and notice texts at the top of a module.
func licences(dir string) ([]string, error) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, err
	}
	var texts []string
	for _, e := range entries {
		name := strings.ToUpper(e.Name())
		if e.IsDir() || strings.HasSuffix(name, ".GO") {
			continue
		}
		for _, start := range []string{"LICENSE", "LICENCE", "COPYING", "NOTICE", "PATENTS", "UNLICENSE"} {
			if strings.HasPrefix(name, start) {
				b, err := os.ReadFile(filepath.Join(dir, e.Name()))
				if err != nil {
					return nil, err
				}
				texts = append(texts, string(b))
				break
			}
		}
	}
	return texts, nil
}

// squeezed is a text without its line breaks and indents, for comparing.
func squeezed(text string) string { return strings.Join(strings.Fields(text), " ") }
