# Two commands for a bare Debian machine with only Rust on it: each installs what it needs, and only what is missing.
#
#   make demo    the whole job on the built-in order, and where its pictures lie
#   make test    formatting, lints, and every test

SHELL := /bin/bash
.SHELLFLAGS := -euo pipefail -c
.DEFAULT_GOAL := demo
.PHONY: demo test format-and-lints demo-packages test-packages python

export PATH := $(PATH):$(HOME)/.cargo/bin

DEMO_DIR := target/demo
VENV := target/venv
ORACLES := tests/oracles/requirements.txt

LINKER := gcc libc6-dev
PICTURE := libvulkan1 mesa-vulkan-drivers
WINDOW := libxkbcommon-x11-0 libx11-xcb1 libxcursor1 libxi6 libxrandr2
SCREEN := xvfb xserver-xorg-core xserver-xorg-video-dummy x11-xserver-utils x11-utils openbox xdotool
READERS := imagemagick poppler-utils
PYTHON := python3 python3-venv

# $(call install,packages): those that are not there yet, by apt; with sudo where that is needed.
define install
missing=(); \
for package in $(1); do \
	[ "$$(dpkg-query -W -f='$${db:Status-Status}' "$$package" 2>/dev/null)" = installed ] || missing+=("$$package"); \
done; \
if [ $${#missing[@]} -gt 0 ]; then \
	as_root=(); \
	if [ "$$(id -u)" -ne 0 ]; then \
		command -v sudo >/dev/null || { echo "As root, run: apt-get install $${missing[*]}; then run make again." >&2; exit 1; }; \
		as_root=(sudo); \
	fi; \
	echo "Installing $${missing[*]}"; \
	"$${as_root[@]}" apt-get -q -o DPkg::Lock::Timeout=600 update; \
	"$${as_root[@]}" env DEBIAN_FRONTEND=noninteractive \
		apt-get -q -y -o DPkg::Lock::Timeout=600 install --no-install-recommends "$${missing[@]}"; \
fi
endef

demo: demo-packages
	@cargo build --locked
	@NODEVICE_SELECT=1 target/debug/chalklight demo --out $(DEMO_DIR)
	@echo "The pictures are in $(CURDIR)/$(DEMO_DIR):"
	@ls -1 $(DEMO_DIR)

# An adapter is there when the Vulkan loader finds a driver; without one, the software driver is installed.
demo-packages:
	@$(call install,$(shell command -v cc >/dev/null || echo $(LINKER)))
	@if ! ls /usr/share/vulkan/icd.d/*.json /etc/vulkan/icd.d/*.json 2>/dev/null | grep -q . \
		|| ! /sbin/ldconfig -p | grep -q 'libvulkan\.so\.1'; then \
		$(call install,$(PICTURE)); \
	fi

# The last word is that of cargo test itself.
test: test-packages python format-and-lints
	@CHALKLIGHT_PYTHON="$(CURDIR)/$(VENV)/bin/python" cargo test --locked

format-and-lints: test-packages
	@cargo fmt --version >/dev/null 2>&1 && cargo clippy --version >/dev/null 2>&1 || rustup component add rustfmt clippy
	@cargo fmt --check
	@cargo clippy --locked --all-targets -- -D warnings

test-packages:
	@$(call install,$(shell command -v cc >/dev/null || echo $(LINKER)) $(PICTURE) $(WINDOW) $(SCREEN) $(READERS) $(PYTHON))

python: $(VENV)/ready

$(VENV)/ready: $(ORACLES) | test-packages
	@rm -rf $(VENV)
	@/usr/bin/python3 -m venv $(VENV)
	@$(VENV)/bin/python -m pip install --quiet --disable-pip-version-check -r $(ORACLES)
	@touch $@
