// Package rigcheck compares a location's rig with the devices that were found on
// the lamps' network: one list that says of every lamp what is right, what
// differs and what would mend it, and of every other device that it is there.
//
// It takes devices as plain values, so that neither this room knows a network
// nor the network a show; who has both hands one to the other. It changes
// nothing: a row says what to set, and after that was done the same comparison
// says what took.
//
// A lamp is matched to a device by its unique identifier in the kit, else by the
// device's label, which is the lamp's id in the kit, else by what the device is:
// only where there is one such device for one such lamp, or where its address
// already fits. Lamps are never matched by chance, since the light would then
// come from another place than the plan has it.
package rigcheck
