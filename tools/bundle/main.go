// Command bundle makes the pages of the workbench from their sources in ui: of the
// sheet one index.html, one app.js, one app.css; of the phone one phone.html with
// its script and style in it. With -check it only says whether what lies
// there is what the sources give. With -tests it writes the page's own tests as
// plain modules into a folder, for a runtime that has a test runner.
package main

import (
	"bytes"
	"errors"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/evanw/esbuild/pkg/api"
)

func main() {
	top := flag.String("top", ".", "the top of the checkout")
	check := flag.Bool("check", false, "write nothing; fail when the page is not what the sources give")
	tests := flag.String("tests", "", "write the page's tests into this folder instead")
	flag.Parse()
	if err := run(*top, *check, *tests); err != nil {
		fmt.Fprintln(os.Stderr, "bundle:", err)
		os.Exit(1)
	}
}

func run(top string, check bool, tests string) error {
	top, err := filepath.Abs(top)
	if err != nil {
		return err
	}
	if tests != "" {
		return bundleTests(top, tests)
	}
	files, err := page(top)
	if err != nil {
		return err
	}
	if files["phone.html"], err = phone(top); err != nil {
		return err
	}
	out := filepath.Join(top, "internal", "workbench", "page")
	for name, content := range files {
		path := filepath.Join(out, name)
		if !check {
			if err := os.WriteFile(path, content, 0o644); err != nil {
				return err
			}
			continue
		}
		if there, err := os.ReadFile(path); err != nil || !bytes.Equal(there, content) {
			return fmt.Errorf("%s is not what ui gives: run go -C tools/bundle run . -top ../..", name)
		}
	}
	return nil
}

// page returns the files of the sheet by name.
func page(top string) (map[string][]byte, error) {
	opts := options(top)
	opts.EntryPointsAdvanced = []api.EntryPoint{
		{InputPath: filepath.Join(top, "ui", "src", "main.tsx"), OutputPath: "app"},
		{InputPath: filepath.Join(top, "ui", "src", "css", "app.css"), OutputPath: "app"},
	}
	files, err := build(opts)
	if err != nil {
		return nil, err
	}
	html, err := os.ReadFile(filepath.Join(top, "ui", "src", "index.html"))
	if err != nil {
		return nil, err
	}
	files["index.html"] = html
	return files, nil
}

// phone returns the page of the phone.
func phone(top string) ([]byte, error) {
	source := filepath.Join(top, "ui", "src", "phone")
	opts := options(top)
	opts.EntryPointsAdvanced = []api.EntryPoint{{InputPath: filepath.Join(source, "main.tsx"), OutputPath: "phone"}}
	opts.Format = api.FormatIIFE
	files, err := build(opts)
	if err != nil {
		return nil, err
	}
	html, err := os.ReadFile(filepath.Join(source, "phone.html"))
	if err != nil {
		return nil, err
	}
	for element, content := range map[string][]byte{"style": files["phone.css"], "script": files["phone.js"]} {
		begin, end := "<"+element+">", "</"+element+">"
		if n := bytes.Count(html, []byte(begin+end)); n != 1 || bytes.Contains(content, []byte(end)) {
			return nil, fmt.Errorf("phone.html has no single place for its %s", element)
		}
		html = bytes.Replace(html, []byte(begin+end), []byte(begin+string(content)+end), 1)
	}
	return html, nil
}

// build returns what the bundler makes, small, by file name.
func build(opts api.BuildOptions) (map[string][]byte, error) {
	opts.MinifySyntax, opts.MinifyWhitespace, opts.MinifyIdentifiers = true, true, true
	result := api.Build(opts)
	if err := failed(result); err != nil {
		return nil, err
	}
	files := map[string][]byte{}
	for _, f := range result.OutputFiles {
		files[filepath.Base(f.Path)] = f.Contents
	}
	return files, nil
}

func bundleTests(top, out string) error {
	sources, err := filepath.Glob(filepath.Join(top, "ui", "src", "*", "*.test.ts"))
	if err != nil {
		return err
	}
	if len(sources) == 0 {
		return errors.New("there are no tests in ui/src")
	}
	opts := options(top)
	opts.EntryPoints = sources
	opts.Outdir = out
	opts.Platform = api.PlatformNode
	opts.OutExtension = map[string]string{".js": ".mjs"}
	opts.Write = true
	return failed(api.Build(opts))
}

// options are what the page and its tests have in common.
func options(top string) api.BuildOptions {
	vendor := filepath.Join(top, "ui", "vendor")
	return api.BuildOptions{
		AbsWorkingDir:   top,
		Bundle:          true,
		Format:          api.FormatESModule,
		Target:          api.ES2022,
		Charset:         api.CharsetUTF8,
		JSX:             api.JSXAutomatic,
		JSXImportSource: "preact",
		LegalComments:   api.LegalCommentsNone,
		Outdir:          filepath.Join(top, "internal", "workbench", "page"),
		TsconfigRaw:     `{"compilerOptions":{"useDefineForClassFields":true}}`,
		Alias: map[string]string{
			"preact/jsx-runtime":   filepath.Join(vendor, "preact", "jsx-runtime", "dist", "jsxRuntime.mjs"),
			"preact/hooks":         filepath.Join(vendor, "preact", "hooks", "dist", "hooks.mjs"),
			"preact":               filepath.Join(vendor, "preact", "dist", "preact.mjs"),
			"@preact/signals-core": filepath.Join(vendor, "signals-core", "signals-core.mjs"),
			"@preact/signals":      filepath.Join(vendor, "signals", "signals.mjs"),
		},
	}
}

func failed(r api.BuildResult) error {
	if len(r.Errors) == 0 {
		return nil
	}
	return errors.New(strings.Join(api.FormatMessages(r.Errors, api.FormatMessagesOptions{}), ""))
}
