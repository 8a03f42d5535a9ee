package cli

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"takeweave/internal/film"
	"takeweave/internal/job"
	"takeweave/internal/titles"
)

// factsOptions are the flags of facts.
type factsOptions struct {
	artist, title, engineer, owner, place, date string
	writers, filmedBy, thanks, links, permits   []string
}

func (a *app) factsCommand() *cobra.Command {
	var o factsOptions
	cmd := &cobra.Command{
		Use: "facts DIR", Short: "The names, the place, the permissions: typed once",
		Long: `Tells what is known of the film, or changes it; what is not named stays as it is.
Cards, credits, file names and the text to publish are made from it. Names that are
several are given by repeating the flag; giving any replaces all.

A permission is noted as WHAT=STATE, BY, DATE. WHAT is "composition" (with writers:
"composition by NAME"), "recording", "performer", "room", "artwork and brands", "other
people" or "music by others"; STATE is "yes", "not needed" or "open". An open permission
blocks a release, never the work. This is no legal advice.

` + exitCodes,
		Example: `  takeweave facts slow-ferry --artist "Nell Harrowgate" --title "Slow Ferry Home" --writer "Nell Harrowgate"
  takeweave facts slow-ferry --permit "room=yes, Tam Orrock, 2026-03-02"`,
		Args: exactly(1, "the folder of the film: takeweave facts DIR"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.withFilm(cmd.Context(), args[0], func(w *job.Work) error { return a.facts(cmd, w, o) })
		},
	}
	f := cmd.Flags()
	f.StringVar(&o.artist, "artist", "", "who sings")
	f.StringVar(&o.title, "title", "", "the name of the song")
	f.StringArrayVar(&o.writers, "writer", nil, "who wrote the song")
	f.StringVar(&o.engineer, "engineer", "", "who recorded it")
	f.StringVar(&o.owner, "owner", "", "whom the recording belongs to")
	f.StringVar(&o.place, "place", "", "where it was filmed")
	f.StringVar(&o.date, "date", "", "when, as 2026-03-14")
	f.StringArrayVar(&o.filmedBy, "filmed-by", nil, "who filmed and cut it")
	f.StringArrayVar(&o.thanks, "thanks", nil, "who is thanked")
	f.StringArrayVar(&o.links, "link", nil, "an address to publish, in full")
	f.StringArrayVar(&o.permits, "permit", nil, "a permission: WHAT=STATE, BY, DATE")
	return cmd
}

func (a *app) facts(cmd *cobra.Command, w *job.Work, o factsOptions) error {
	ctx := cmd.Context()
	f, err := w.Facts(ctx)
	if err != nil {
		return err
	}
	if changes(cmd) {
		if err := o.change(cmd, &f); err != nil {
			return err
		}
		if err := w.SetFacts(ctx, f); err != nil {
			return err
		}
	}
	return a.show(f, func(out io.Writer) { sayFacts(out, &f) })
}

// change sets the facts whose flags were given.
func (o factsOptions) change(cmd *cobra.Command, f *titles.Facts) error {
	given := cmd.Flags().Changed
	for _, s := range []struct {
		flag  string
		to    *string
		value string
	}{
		{"artist", &f.Artist, o.artist},
		{"title", &f.Title, o.title},
		{"engineer", &f.Engineer, o.engineer},
		{"owner", &f.Owner, o.owner},
		{"place", &f.Place, o.place},
		{"date", &f.Date, o.date},
	} {
		if given(s.flag) {
			*s.to = s.value
		}
	}
	for _, l := range []struct {
		flag  string
		to    *[]string
		value []string
	}{
		{"writer", &f.Writers, o.writers}, {"filmed-by", &f.FilmedBy, o.filmedBy}, {"thanks", &f.Thanks, o.thanks}, {"link", &f.Links, o.links},
	} {
		if given(l.flag) {
			*l.to = l.value
		}
	}
	for _, text := range o.permits {
		p, err := parsePermission(text)
		if err != nil {
			return err
		}
		f.Permissions = slices.DeleteFunc(f.Permissions, func(q titles.Permission) bool { return q.For == p.For && q.Writer == p.Writer })
		f.Permissions = append(f.Permissions, p)
	}
	return nil
}

// parsePermission reads "composition by NAME=yes, BY, DATE".
func parsePermission(text string) (titles.Permission, error) {
	what, rest, ok := strings.Cut(text, "=")
	parts := strings.Split(rest, ",")
	if !ok || len(parts) > 3 {
		return titles.Permission{}, &film.Error{Code: film.CodeUsage, Msg: fmt.Sprintf("%q is no permission", text), Hint: `write it like "room=yes, Tam Orrock, 2026-03-02"`}
	}
	subject, writer, _ := strings.Cut(strings.TrimSpace(what), " by ")
	if subject == "music" { // "music by others" is a subject, not a part of others'
		subject, writer = strings.TrimSpace(what), ""
	}
	p := titles.Permission{For: titles.Subject(subject), Writer: writer}
	for i, to := range []*string{(*string)(&p.State), &p.By, &p.Date} {
		if i < len(parts) {
			*to = strings.TrimSpace(parts[i])
		}
	}
	return p, nil
}

// sayFacts tells the facts that are known.
func sayFacts(out io.Writer, f *titles.Facts) {
	if f.Title == "" {
		fmt.Fprintln(out, "Nothing is typed yet: give --artist and --title.")
		return
	}
	fmt.Fprintf(out, "%s by %s\n", f.Title, f.Artist)
	for _, row := range []struct {
		name  string
		names []string
	}{
		{"written by", f.Writers},
		{"recorded by", []string{f.Engineer}},
		{"recording of", []string{f.Owner}},
		{"place", []string{f.Place}},
		{"date", []string{f.Date}},
		{"filmed by", f.FilmedBy},
		{"thanks to", f.Thanks},
		{"links", f.Links},
	} {
		if text := strings.Join(row.names, ", "); text != "" {
			fmt.Fprintf(out, "  %s: %s\n", row.name, text)
		}
	}
	for _, p := range f.Permissions {
		if p.State == titles.Given || p.State == titles.NotNeeded {
			fmt.Fprintf(out, "  %s: %s, %s, %s\n", p, p.State, p.By, p.Date)
		}
	}
	for _, g := range f.Gates() {
		fmt.Fprintln(out, " ", g)
	}
}
