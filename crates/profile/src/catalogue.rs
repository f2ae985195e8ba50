//! The profiles that ship in the binary.

/// A file of `catalogue/`, embedded.
macro_rules! shipped {
    ($($path:literal),* $(,)?) => {
        &[$(($path, include_str!(concat!("../../../catalogue/", $path)))),*]
    };
}

/// Path below `catalogue/` and text of every shipped profile, in the order of their paths.
pub(crate) const FILES: &[(&str, &str)] = shipped![
    "cables/five-pair-screened.toml",
    "cables/nine-core-moulded-socket.toml",
    "cables/ten-core-control.toml",
    "cables/twelve-core-control.toml",
    "controllers/fifteen-pin-analogue-stick-with-keypad.toml",
    "controllers/fifteen-pin-game-stick.toml",
    "controllers/fifteen-pin-matrix-pad.toml",
    "controllers/fifteen-pin-pad-with-logic.toml",
    "controllers/fifteen-pin-stick.toml",
    "controllers/loose-arcade-panel.toml",
    "controllers/nine-pin-pad-with-series-resistors.toml",
    "controllers/nine-pin-paddles.toml",
    "controllers/nine-pin-register-pad-16-bit.toml",
    "controllers/nine-pin-register-pad-8-bit.toml",
    "controllers/nine-pin-select-pad-six-buttons.toml",
    "controllers/nine-pin-select-pad.toml",
    "controllers/nine-pin-stick-with-auto-fire.toml",
    "controllers/nine-pin-stick-with-one-button.toml",
    "controllers/nine-pin-stick-with-separate-commons.toml",
    "controllers/nine-pin-stick-with-two-buttons.toml",
    "ports/arcade-edge-player-1.toml",
    "ports/arcade-edge-player-2.toml",
    "ports/eight-pin-mini-din.toml",
    "ports/fifteen-pin-analogue-with-keypad.toml",
    "ports/fifteen-pin-game-with-music.toml",
    "ports/fifteen-pin-game.toml",
    "ports/fifteen-pin-matrix.toml",
    "ports/fifteen-way-high-density-video.toml",
    "ports/fifteen-way-network-attachment.toml",
    "ports/nine-pin-active-high.toml",
    "ports/nine-pin-one-fire-keyboard-lines.toml",
    "ports/nine-pin-one-fire-second-button-as-charge-time.toml",
    "ports/nine-pin-one-fire-second-button-as-level.toml",
    "ports/nine-pin-one-fire.toml",
    "ports/nine-pin-register-16-bit.toml",
    "ports/nine-pin-register-8-bit.toml",
    "ports/nine-pin-scanned-return-supply-on-5.toml",
    "ports/nine-pin-scanned-returns-supply-on-7.toml",
    "ports/nine-pin-scanned-returns.toml",
    "ports/nine-pin-select-six-buttons.toml",
    "ports/nine-pin-select.toml",
    "ports/nine-pin-two-button-light-gun.toml",
    "ports/nine-pin-two-trigger.toml",
    "ports/nine-way-monitor-output.toml",
    "ports/nine-way-serial.toml",
    "ports/usb-host.toml",
];
