package desk

import (
	"errors"
	"fmt"
	"net"
	"net/netip"
	"strconv"
)

// The desk takes the first free port of a few, so that after an end and a new start open
// pages find it again.
const (
	FirstPort = 4350
	ports     = 20
)

var (
	// ErrPort says that a port is not free.
	ErrPort = errors.New("the port is taken; choose another one with -port, or leave it out")
	// ErrNetwork says that the machine is in no local network.
	ErrNetwork = errors.New("this machine has no address in a local network; name the one that it has with -address")
)

// Listeners are those of a desk.
type Listeners struct {
	Own   []net.Listener // of this machine alone
	Phone net.Listener   // of the local network; nil for none
}

// Listen opens a port of this machine, 0 for the first that is free. Nothing outside
// the machine reaches it.
func Listen(port int) (Listeners, error) {
	if port != 0 {
		return listen(port)
	}
	for port := FirstPort; port < FirstPort+ports; port++ {
		if on, err := listen(port); err == nil {
			return on, nil
		}
	}
	return Listeners{}, fmt.Errorf("ports %d to %d: %w", FirstPort, FirstPort+ports-1, ErrPort)
}

// listen opens a port at both of the machine's addresses for itself, where it has both.
func listen(port int) (Listeners, error) {
	four, err := net.Listen("tcp4", at("127.0.0.1", port))
	if err != nil {
		return Listeners{}, fmt.Errorf("%d: %w (%w)", port, ErrPort, err)
	}
	on := Listeners{Own: []net.Listener{four}}
	six, err := net.Listen("tcp6", at("::1", portOf(four)))
	switch {
	case err == nil:
		on.Own = append(on.Own, six)
	case taken(portOf(four)):
		four.Close()
		return Listeners{}, fmt.Errorf("%d: %w (%w)", port, ErrPort, err)
	}
	return on, nil
}

// taken tells whether somebody else answers at a port of the second address; else the
// machine does not have that.
func taken(port int) bool {
	c, err := net.Dial("tcp6", at("::1", port))
	if err == nil {
		c.Close()
	}
	return err == nil
}

// AddPhone opens the same port to the local network, at an address of this machine, "" for
// that by which it sends to other networks.
func (on *Listeners) AddPhone(address string) (err error) {
	if address == "" {
		if address, err = local(); err != nil {
			return err
		}
	}
	on.Phone, err = net.Listen("tcp", at(address, portOf(on.Own[0])))
	return err
}

// local is this machine's address in the local network: that from which it would send to
// another one. Nothing is sent. The address asked about is for documentation (RFC 5737).
func local() (string, error) {
	c, err := net.Dial("udp4", "192.0.2.1:9")
	if err != nil {
		return "", ErrNetwork
	}
	defer c.Close()
	address := netip.MustParseAddrPort(c.LocalAddr().String()).Addr()
	if !address.IsPrivate() && !address.IsLinkLocalUnicast() {
		return "", ErrNetwork
	}
	return address.String(), nil
}

// Address is where the browser of this machine finds the desk.
func (on Listeners) Address() string { return "http://" + on.Own[0].Addr().String() + "/" }

// Close closes them.
func (on Listeners) Close() {
	for _, l := range on.Own {
		l.Close()
	}
	if on.Phone != nil {
		on.Phone.Close()
	}
}

func portOf(l net.Listener) int {
	return int(netip.MustParseAddrPort(l.Addr().String()).Port())
}

func at(address string, port int) string { return net.JoinHostPort(address, strconv.Itoa(port)) }
