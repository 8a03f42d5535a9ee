# takeweave: everything a person or a machine does with this checkout.
# Only Go is needed for demo and build; `make test` sees to the rest.

GO        ?= go
TOOL      := $(GO) tool -modfile=tools/go.mod
TIMEOUT   ?= 45m
TESTFLAGS ?=
BENCH     ?= .
SOURCES   := cmd internal tools
export CGO_ENABLED ?= 0

.DEFAULT_GOAL := help
.PHONY: help demo build test check needs lint format vet staticcheck fmt unit page screens kernels race soak bench cross notices clean

help: ## Say what there is
	@awk -F ':.*## ' '/^[a-z]+:.*## / { printf "  make %-11s %s\n", $$1, $$2 }' $(MAKEFILE_LIST)

demo: build ## Make the invented film day and cut a film from it, start to end
	@bin/takeweave demo demo-film

build: ## Build bin/takeweave
	@$(GO) build -trimpath -o bin/takeweave ./cmd/takeweave

test: needs ## Install what the tests need, then run every check and test
	@failed=0; \
	$(MAKE) --no-print-directory -k lint || failed=1; \
	$(MAKE) --no-print-directory unit || failed=1; \
	exit $$failed

check: test ## The same as make test; what the CI runs

needs: ## Install or name what the tests need besides Go
	@tools/needs

lint: format vet staticcheck ## Format, vet and staticcheck

format: ## Check the format alone
	@echo "format"; bad=$$($(TOOL) gofumpt -l $(SOURCES)) || exit 1; \
	if [ -n "$$bad" ]; then echo "$$bad"; echo "not formatted; run: make fmt"; exit 1; fi

vet: ## Run go vet alone
	@echo "vet"; $(GO) vet ./...

staticcheck: ## Run staticcheck alone
	@echo "staticcheck"; $(TOOL) staticcheck ./...

fmt: ## Format all sources
	@$(TOOL) gofumpt -w $(SOURCES)

unit: ## Run the tests alone
	@failed=0; \
	$(GO) test -timeout $(TIMEOUT) $(TESTFLAGS) ./... || failed=1; \
	for m in kernels bundle; do $(GO) test -C tools/$$m $(TESTFLAGS) ./... || failed=1; done; \
	exit $$failed

page: ## Build the page of the song sheet from its sources in ui
	@$(GO) run -C tools/bundle . -top ../..

screens: build ## Take the pictures of docs/screens from the demo film
	@[ -d demo-film/slow-ferry-home ] || bin/takeweave demo demo-film
	@mkdir -p docs/screens
	TAKEWEAVE_SCREENS=$(CURDIR)/docs/screens TAKEWEAVE_FILM=$(CURDIR)/demo-film/slow-ferry-home $(GO) test -count=1 -run TestScreens ./internal/acceptance

kernels: ## Write the vector kernels of internal/dsp anew
	@$(GO) generate ./internal/dsp

race: ## Run the tests under the race detector (needs a C compiler)
	CGO_ENABLED=1 $(GO) test -race -timeout 60m $(TESTFLAGS) ./...

soak: ## Run the long tests: many seeds, long passes, every engine
	TAKEWEAVE_SOAK=1 $(GO) test -count=1 -timeout 3h $(TESTFLAGS) ./...

bench: ## Measure the speed of the rooms and of the render
	$(GO) test -run '^$$' -bench '$(BENCH)' -benchmem -timeout 60m ./...

cross: ## Check that it compiles for the other systems
	@for t in windows/amd64 darwin/arm64 linux/arm64; do echo "$$t"; \
	  GOOS=$${t%/*} GOARCH=$${t#*/} $(GO) build ./... || exit 1; done
	@echo "without the built-in FFmpeg"; $(GO) build -tags nocodec ./...

notices: ## Write docs/notices.md anew from the modules that are linked
	@mkdir -p bin && $(GO) run -C tools ./notices .. > bin/notices.md && mv bin/notices.md docs/notices.md

clean: ## Remove what was built
	@rm -rf bin
