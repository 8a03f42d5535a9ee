package cli

import (
	"fmt"
	"io"
	"runtime"

	"github.com/spf13/cobra"

	"takeweave/internal/film"
	"takeweave/internal/media"
)

func (a *app) doctorCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "doctor",
		Short: "Say which codec engine is used and what that means",
		Long:  "Looks for the codec engines and says which one is used, what it means for speed, and what to install for the quicker one.\n\n" + exitCodes,
		Args:  cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			type answer struct {
				Engine string `json:"engine"`
				Works  bool   `json:"works"`
				Says   string `json:"says"`
				Hint   string `json:"hint,omitempty"`
			}
			var all []answer
			for _, kind := range []string{"native", "embedded"} {
				e, err := media.Find(cmd.Context(), media.Options{Prefer: kind})
				if err != nil {
					all = append(all, answer{Engine: kind, Says: err.Error(), Hint: film.HintOf(err)})
					continue
				}
				all = append(all, answer{Engine: kind, Works: true, Says: e.Describe()})
			}
			used, err := a.findEngine(cmd.Context())
			if err != nil {
				return err
			}
			return a.show(map[string]any{"engines": all, "used": used.Kind(), "cores": runtime.NumCPU()}, func(w io.Writer) {
				for _, e := range all {
					fmt.Fprintf(w, "%s: %s\n", e.Engine, e.Says)
					if e.Hint != "" {
						fmt.Fprintf(w, "  hint: %s\n", e.Hint)
					}
				}
				fmt.Fprintf(w, "used: %s, %d cores\n", used.Kind(), runtime.NumCPU())
			})
		},
	}
}
