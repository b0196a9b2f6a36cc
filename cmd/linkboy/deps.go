//go:build deps

// Package main keeps the module graph whole while the rooms are built; removed before the first landing.
package main

import (
	_ "github.com/chromedp/chromedp"
	_ "github.com/gorilla/websocket"
	_ "github.com/piglig/go-qr"
	_ "github.com/prometheus/client_golang/prometheus/promhttp"
	_ "github.com/rogpeppe/go-internal/testscript"
	_ "github.com/spf13/cobra"
	_ "github.com/stretchr/testify/require"
	_ "golang.org/x/sys/cpu"
	_ "gonum.org/v1/gonum/optimize/convex/lp"
	_ "gopkg.in/yaml.v3"
)
