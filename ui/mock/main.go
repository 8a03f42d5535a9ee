// Command mock serves the page of the workbench with an invented film day, so
// that the page can be worked on and measured without one: 20 passes of a song
// that nobody has recorded, or as many as asked for.
package main

import (
	"flag"
	"fmt"
	"log"
	"net"
	"net/http"
	"os"
)

func main() {
	var o options
	listen := flag.String("listen", "127.0.0.1:8765", "where to listen")
	page := flag.String("page", "internal/workbench/page", "folder of the page")
	flag.IntVar(&o.passes, "passes", 20, "how many passes")
	flag.IntVar(&o.lines, "lines", 24, "how many lines of song")
	flag.StringVar(&o.state, "state", "full", "full, empty (nothing yet), record (no clips), silent (clips without sound), failed (work that failed)")
	flag.StringVar(&o.media, "media", "", "folder for made sound and pictures; a new one when empty")
	flag.Parse()
	if err := run(*listen, *page, o); err != nil {
		log.Fatal(err)
	}
}

func run(listen, page string, o options) error {
	if o.media == "" {
		made, err := os.MkdirTemp("", "mock")
		if err != nil {
			return err
		}
		defer os.RemoveAll(made)
		o.media = made
	}
	d := newDay(o)
	if err := d.makeMedia(); err != nil {
		return err
	}
	l, err := net.Listen("tcp", listen)
	if err != nil {
		return err
	}
	fmt.Printf("http://%s\n", l.Addr())
	return http.Serve(l, d.routes(page))
}
