package cli

import (
	"context"
	"fmt"
	"net"
	"time"

	"github.com/skip2/go-qrcode"

	"takeweave/internal/film"
	"takeweave/internal/job"
	"takeweave/internal/store"
	"takeweave/internal/workbench"
)

// servePhones serves the page of the day to phones in the background, until ctx is
// done, and returns what a phone has to open.
func servePhones(ctx context.Context, v *workbench.Server, s *store.Store, name string) (address string, err error) {
	names := []string{name}
	if name == anyAddress {
		if names, err = workbench.LocalAddresses(); err != nil {
			return "", err
		}
	}
	if len(names) == 0 {
		return "", &film.Error{Code: film.CodeFailed, Msg: "this machine is in no network that a phone could join", Hint: "join the room's network, or let the phone or this machine open one, and start anew"}
	}
	pairing, err := workbench.NewPairing(ctx, s)
	if err != nil {
		return "", err
	}
	listener, err := v.ListenOnTheDay(ctx)
	if err != nil {
		return "", err
	}
	_, port, err := net.SplitHostPort(listener.Addr().String())
	if err != nil {
		return "", err
	}
	go func() { _ = serveUntilDone(ctx, listener, v.OnTheDay(names, port, pairing)) }()
	return pairing.Address(names[0], port), nil
}

// squares draws an address as a code to scan; "" when it cannot be drawn: the
// address is told in words too.
func squares(address string) string {
	code, err := qrcode.New(address, qrcode.Medium)
	if err != nil {
		return ""
	}
	return code.ToSmallString(false)
}

// setRoomUntil keeps when the key of the room goes back, a time of today, or of
// tomorrow when it is past; "" changes nothing and "none" leaves it open.
func setRoomUntil(ctx context.Context, w *job.Work, said string) error {
	switch said {
	case "":
		return nil
	case "none":
		return w.SetRoomUntil(ctx, time.Time{})
	}
	clock, err := time.Parse("15:04", said)
	if err != nil {
		return &film.Error{Code: film.CodeUsage, Msg: fmt.Sprintf("%q is no time of day", said), Hint: "say it as 17:30, or none to leave it open"}
	}
	now := time.Now()
	at := time.Date(now.Year(), now.Month(), now.Day(), clock.Hour(), clock.Minute(), 0, 0, time.Local)
	if at.Before(now) {
		at = at.AddDate(0, 0, 1)
	}
	return w.SetRoomUntil(ctx, at)
}
