package workbench

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/base64"
	"net"
	"net/http"
	"net/netip"

	"takeweave/internal/film"
	"takeweave/internal/workbench/page"
)

// ListenOnTheDay opens a port to the local network. It is the same one each time,
// for a browser keeps what a phone has logged under its address.
func (v *Server) ListenOnTheDay(ctx context.Context) (net.Listener, error) {
	const setting = "phone-port"
	port, err := v.store.Setting(ctx, setting)
	if err != nil {
		return nil, err
	}
	var c net.ListenConfig
	l, err := c.Listen(ctx, "tcp", ":"+orZero(port))
	if err != nil && port != "" {
		return nil, &film.Error{Code: film.CodeFailed, Msg: "cannot open port " + port + ", under which the phones know this film", Hint: "end the other takeweave that serves it on the day", Err: err}
	}
	if err != nil {
		return nil, &film.Error{Code: film.CodeFailed, Msg: "cannot listen on the local network", Hint: "look whether a firewall keeps programs from listening", Err: err}
	}
	_, port, err = net.SplitHostPort(l.Addr().String())
	if err == nil {
		err = v.store.Set(ctx, setting, port)
	}
	return l, err
}

func orZero(port string) string {
	if port == "" {
		return "0"
	}
	return port
}

// LocalAddresses returns the addresses under which phones of the same network may
// reach this machine, those of home and borrowed networks first.
func LocalAddresses() ([]string, error) {
	all, err := net.InterfaceAddrs()
	if err != nil {
		return nil, err
	}
	var private, others []string
	for _, a := range all {
		prefix, err := netip.ParsePrefix(a.String())
		if err != nil {
			continue
		}
		switch ip := prefix.Addr(); {
		case !ip.Is4() || ip.IsLoopback() || ip.IsLinkLocalUnicast():
		case ip.IsPrivate():
			private = append(private, ip.String())
		default:
			others = append(others, ip.String())
		}
	}
	return append(private, others...), nil
}

// OnTheDay returns the handler for phones, which reach it under one of the names
// (addresses or host names) at a port. A phone is let in by the pairing.
func (v *Server) OnTheDay(names []string, port string, p *Pairing) http.Handler {
	hosts := map[string]bool{}
	for _, n := range names {
		hosts[net.JoinHostPort(n, port)] = true
	}
	mux := http.NewServeMux()
	mux.HandleFunc("GET /{$}", v.phonePage)
	mux.HandleFunc("GET /state", answering(v.dayState))
	mux.HandleFunc("POST /events", answering(v.dayEvents))
	mux.HandleFunc("POST /photo", answering(v.dayPhoto))
	mux.HandleFunc("GET /live", v.live.serve)
	return onlyFrom(hosts, phonePolicy(page.Phone), p.guard(mux))
}

// phonePage answers GET /. A phone that opens the page again while the network is
// away takes it from where it kept it.
func (v *Server) phonePage(w http.ResponseWriter, r *http.Request) {
	sign, err := v.filmSign(r.Context())
	if err != nil {
		fail(w, err)
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.Header().Set("Cache-Control", "private, max-age=43200")
	_, _ = w.Write(bytes.Replace(page.Phone, []byte(`data-film=""`), []byte(`data-film="`+sign+`"`), 1))
}

// phonePolicy lets the phone's page run the one script and style that it holds.
// Source: [CSP3], which takes them by their hash.
func phonePolicy(html []byte) string {
	return "default-src 'none'; script-src " + hashOf(html, "<script>", "</script>") + "; style-src " + hashOf(html, "<style>", "</style>") +
		"; img-src 'self' data: blob:; connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
}

func hashOf(html []byte, begin, end string) string {
	_, rest, _ := bytes.Cut(html, []byte(begin))
	inside, _, _ := bytes.Cut(rest, []byte(end))
	sum := sha256.Sum256(inside)
	return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}
