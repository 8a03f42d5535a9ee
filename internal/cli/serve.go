package cli

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net"
	"net/http"
	"time"

	"github.com/spf13/cobra"

	"takeweave/internal/film"
	"takeweave/internal/job"
	"takeweave/internal/store"
	"takeweave/internal/workbench"
)

func (a *app) serveCommand() *cobra.Command {
	var o serveOptions
	cmd := &cobra.Command{
		Use: "serve DIR", Short: "Open the song sheet in the browser",
		Long: `Serves the song sheet, on which the cut is looked at, heard and decided, to the
browser of this machine only. Whatever is not worked out yet is worked out in the
background. Ctrl-C ends it; nothing that was decided is lost.

With --on-the-day the phones of the local network get their page too: the log of
the day, and what is still owed. Only a phone that scans the code shown here is let
in; the song sheet stays on this machine.

` + exitCodes,
		Example: "  takeweave serve slow-ferry\n  takeweave serve slow-ferry --clips /cards/day1 --port 4600\n  takeweave serve slow-ferry --on-the-day --room-until 17:30",
		Args:    exactly(1, "the folder of the film: takeweave serve DIR"),
		RunE:    func(cmd *cobra.Command, args []string) error { return a.serve(cmd.Context(), args[0], o) },
	}
	f := cmd.Flags()
	f.StringVar(&o.clips, "clips", "", "the folder of camera files (kept for the next time)")
	f.IntVar(&o.port, "port", 0, "the port to listen on (default: any free one)")
	f.StringVar(&o.onTheDay, "on-the-day", "", "serve the page of the day to phones of the local network, under this machine's address, or under the name given as --on-the-day=NAME")
	f.Lookup("on-the-day").NoOptDefVal = anyAddress
	f.StringVar(&o.roomUntil, "room-until", "", "when the key of the room goes back, such as 17:30; none leaves it open")
	return cmd
}

// serveOptions are the flags of serve.
type serveOptions struct {
	clips, onTheDay, roomUntil string
	port                       int
}

// anyAddress lets takeweave choose the address for the phones.
const anyAddress = "auto"

// endWithin is how long open pages may take to let go when the program ends.
const endWithin = 3 * time.Second

func (a *app) serve(ctx context.Context, dir string, o serveOptions) error {
	s, err := store.Open(ctx, dir)
	if err != nil {
		return err
	}
	defer s.Close()
	e, err := a.findEngine(ctx)
	if err != nil {
		return err
	}
	if err := setRoomUntil(ctx, job.New(s, e, nil), o.roomUntil); err != nil {
		return err
	}
	listener, err := workbench.Listen(ctx, o.port)
	if err != nil {
		return err
	}
	v := workbench.New(s, e)
	defer v.Close()
	addr := listener.Addr().String()
	said := served{Address: "http://" + addr + "/"}
	if o.onTheDay != "" {
		if said.Phone, err = servePhones(ctx, v, s, o.onTheDay); err != nil {
			return err
		}
	}
	a.saySheet(said)
	if err := v.LineUp(o.clips); err != nil && film.CodeOf(err) != film.CodeExists {
		return err
	}
	return serveUntilDone(ctx, listener, v.Handler(addr))
}

// serveUntilDone serves until ctx is done.
func serveUntilDone(ctx context.Context, listener net.Listener, h http.Handler) error {
	server := &http.Server{Handler: h, ReadHeaderTimeout: 10 * time.Second}
	go func() {
		<-ctx.Done()
		end, cancel := context.WithTimeout(context.Background(), endWithin)
		defer cancel()
		_ = server.Shutdown(end)
		_ = server.Close()
	}()
	if err := server.Serve(listener); err != nil && !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	return nil
}

// served is where the pages are.
type served struct {
	Address string `json:"address"`
	Phone   string `json:"phone,omitempty"` // with the code
}

func (a *app) saySheet(s served) {
	if a.json {
		_ = json.NewEncoder(a.out).Encode(s)
		return
	}
	fmt.Fprintf(a.out, "The song sheet is at %s (this machine only; Ctrl-C ends it)\n", s.Address)
	if s.Phone != "" {
		fmt.Fprintf(a.out, "\nThe page of the day, for a phone of the same network: scan this, and show it to nobody else.\n\n%s\n%s\n", squares(s.Phone), s.Phone)
	}
}
