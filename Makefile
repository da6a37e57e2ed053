# What a person or a machine does with this project, from a fresh clone:
#   make demo      build, take the example walk-round, write the list in every format to out/
#   make test      everything that must hold before a change is merged
#   make install   put the program into PREFIX/bin (~/.local, or /usr/local for root)
#   make build     the program: target/release/callover
#   make format    put the sources into their usual form
#
# Needed: Rust (stable), CMake and a C++ compiler; the last two are installed where that can be done
# without asking for a password.

SHELL := /bin/bash
.SHELLFLAGS := -euo pipefail -c
.DEFAULT_GOAL := build

PREFIX ?= $(if $(filter 0,$(shell id -u)),/usr/local,$(HOME)/.local)
TARGET := $(or $(CARGO_TARGET_DIR),target)
PROGRAM := $(TARGET)/release/callover
# One profile for the program and the tests, so that the recogniser is compiled once.
CARGO_FLAGS := --release --locked

.PHONY: build demo test install format tools

tools:
	@bash .ci/tools

build: tools
	cargo build $(CARGO_FLAGS)

demo: build
	@rm -rf out/plot-seven.job
	@mkdir -p out
	$(PROGRAM) take examples/plot-seven.m4a --job out/plot-seven.job --title "Plot seven"
	$(PROGRAM) export out/plot-seven.job --out out/plot-seven.json out/plot-seven.csv \
	    out/plot-seven.md out/plot-seven.html out/plot-seven.pdf
	$(PROGRAM) export out/plot-seven.job --by trade --out out/trade-sheets.pdf
	@echo
	@echo "The list is in $(CURDIR)/out: plot-seven.pdf and .html to read, trade-sheets.pdf for the site"
	@echo "team, .md, .csv and .json for others."
	@echo "To decide on its items: $(PROGRAM) confirm out/plot-seven.job"

test: tools
	@bash .ci/check

install: build
	install -d "$(DESTDIR)$(PREFIX)/bin"
	install -m 755 $(PROGRAM) "$(DESTDIR)$(PREFIX)/bin/callover"
	@echo "installed $(DESTDIR)$(PREFIX)/bin/callover"

format:
	cargo fmt
