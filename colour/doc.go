// Package colour holds the values of colour and light that the rest of linkboy
// speaks in: tristimulus values, chromaticities, correlated colour temperature
// with Duv, levels, and the forms in which a person names a colour.
//
// Units: wavelengths in nm, temperatures in K, Duv in CIE 1960 uv, luminous
// flux in lm. Everything is CIE 1931 2-degree unless a name says otherwise.
// Functions are pure: no clock, no I/O but embedded tables.
package colour
