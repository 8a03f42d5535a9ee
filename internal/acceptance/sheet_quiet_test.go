package acceptance

import (
	"context"
	"sync"
	"testing"

	"github.com/chromedp/chromedp"
)

// wantQuiet fails the test when the page writes an error to the browser's console,
// throws what nobody catches, or asks for what is not there.
func wantQuiet(t *testing.T, ctx context.Context) {
	t.Helper()
	var (
		mu     sync.Mutex
		errors []string
	)
	messages := chromedp.Console(ctx)
	go func() {
		for m, err := range messages {
			if err != nil {
				return // the browser is closed
			}
			if m.IsException() || m.Type == chromedp.ConsoleError {
				mu.Lock()
				errors = append(errors, m.String()+" ("+m.URL+")")
				mu.Unlock()
			}
		}
	}()
	t.Cleanup(func() {
		mu.Lock()
		defer mu.Unlock()
		for _, e := range errors {
			t.Errorf("the page says %s", e)
		}
	})
}
