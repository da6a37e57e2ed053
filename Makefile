# What a person or a machine does with this project, from a fresh clone:
#   make demo      build, take the example walk-round, write the list in every format to out/
#   make test      everything that must hold before a change is merged
#   make install   put the program into PREFIX/bin (~/.local, or /usr/local for root)
#   make build     the program: target/release/callover
#   make format    put the sources into their usual form
#
# Needed: Rust (stable), CMake and a C++ compiler; the last two are installed where that can be done
# without asking for a password. The tests compare with more programs (ffmpeg, sox, a browser), which are
# installed likewise or left out with a line that says so.

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
	$(PROGRAM) export out/plot-seven.job --with-sound --out \
	    $(addprefix out/plot-seven.,pdf html xlsx md csv bcf ics vtt srt json)
	$(PROGRAM) export out/plot-seven.job --by trade --out out/trade-sheets.pdf
	@echo
	@echo "The list is in $(CURDIR)/out: plot-seven.pdf to read, plot-seven.html to read and to listen"
	@echo "to, trade-sheets.pdf for the site team, and the other formats beside them."
	@echo "To decide on its items: $(PROGRAM) confirm out/plot-seven.job"

test:
	@bash .ci/tools --all
	@bash .ci/check

install: build
	install -d "$(DESTDIR)$(PREFIX)/bin"
	install -m 755 $(PROGRAM) "$(DESTDIR)$(PREFIX)/bin/callover"
	@echo "installed $(DESTDIR)$(PREFIX)/bin/callover"

format:
	cargo fmt
