package cli

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"time"

	"github.com/spf13/cobra"

	"takeweave/internal/film"
	"takeweave/internal/store"
	"takeweave/internal/workbench"
)

func (a *app) serveCommand() *cobra.Command {
	var clips string
	var port int
	cmd := &cobra.Command{
		Use: "serve DIR", Short: "Open the song sheet in the browser",
		Long: `Serves the song sheet, on which the cut is looked at, heard and decided, to the
browser of this machine only. Whatever is not worked out yet is worked out in the
background. Ctrl-C ends it; nothing that was decided is lost.

` + exitCodes,
		Example: "  takeweave serve slow-ferry\n  takeweave serve slow-ferry --clips /cards/day1 --port 4600",
		Args:    exactly(1, "the folder of the film: takeweave serve DIR"),
		RunE:    func(cmd *cobra.Command, args []string) error { return a.serve(cmd.Context(), args[0], clips, port) },
	}
	cmd.Flags().StringVar(&clips, "clips", "", "the folder of camera files (kept for the next time)")
	cmd.Flags().IntVar(&port, "port", 0, "the port to listen on (default: any free one)")
	return cmd
}

// endWithin is how long open pages may take to let go when the program ends.
const endWithin = 3 * time.Second

func (a *app) serve(ctx context.Context, dir, clips string, port int) error {
	s, err := store.Open(ctx, dir)
	if err != nil {
		return err
	}
	defer s.Close()
	e, err := a.findEngine(ctx)
	if err != nil {
		return err
	}
	listener, err := workbench.Listen(ctx, port)
	if err != nil {
		return err
	}
	v := workbench.New(s, e)
	defer v.Close()
	addr := listener.Addr().String()
	server := &http.Server{Handler: v.Handler(addr), ReadHeaderTimeout: 10 * time.Second}
	go func() {
		<-ctx.Done()
		end, cancel := context.WithTimeout(context.Background(), endWithin)
		defer cancel()
		_ = server.Shutdown(end)
		_ = server.Close()
	}()
	if a.json {
		fmt.Fprintf(a.out, "{\"address\":\"http://%s/\"}\n", addr)
	} else {
		fmt.Fprintf(a.out, "The song sheet is at http://%s/ (this machine only; Ctrl-C ends it)\n", addr)
	}
	if err := v.LineUp(clips); err != nil && film.CodeOf(err) != film.CodeExists {
		return err
	}
	if err := server.Serve(listener); err != nil && !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	return nil
}
