//! From where a request comes, as far as it can be trusted: the address of the connection, never a header.

use axum::extract::ConnectInfo;
use axum::http::Extensions;
use std::net::{IpAddr, Ipv4Addr, Ipv6Addr, SocketAddr};

/// The network a client comes from: an IPv4 address, or the /64 of an IPv6 address, since one household holds a
/// whole /64 (RFC 6177).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Network(IpAddr);

impl Network {
    /// The network of an address.
    #[must_use]
    pub fn of(ip: IpAddr) -> Network {
        match ip.to_canonical() {
            IpAddr::V4(ip) => Network(IpAddr::V4(ip)),
            IpAddr::V6(ip) => {
                let [a, b, c, d, ..] = ip.segments();
                Network(IpAddr::V6(Ipv6Addr::new(a, b, c, d, 0, 0, 0, 0)))
            }
        }
    }

    /// This computer itself.
    #[must_use]
    pub fn is_loopback(self) -> bool {
        match self.0 {
            IpAddr::V4(ip) => ip.is_loopback(),
            // The /64 of ::1 holds nothing else that is routed.
            IpAddr::V6(ip) => ip.is_unspecified(),
        }
    }

    /// Of the connection that a request came by.
    #[must_use]
    pub fn of_request(extensions: &Extensions) -> Network {
        let peer = extensions
            .get::<ConnectInfo<SocketAddr>>()
            .map(|ConnectInfo(peer)| peer.ip());
        Network::of(peer.unwrap_or(IpAddr::V4(Ipv4Addr::UNSPECIFIED)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn val_one_ipv6_subnet_is_one_client() {
        // RFC 4291 section 2.5.4: the interface identifier is the last 64 bits; RFC 3849: documentation prefix.
        let network = |text: &str| Network::of(text.parse().unwrap());
        assert_eq!(network("2001:db8:1:2::5"), network("2001:db8:1:2:ffff::9"));
        assert_ne!(network("2001:db8:1:2::5"), network("2001:db8:1:3::5"));
        // RFC 4291 section 2.5.5.2: an IPv4 address seen through an IPv6 socket is the same client.
        assert_eq!(network("::ffff:192.0.2.7"), network("192.0.2.7"));
        assert_ne!(network("192.0.2.7"), network("192.0.2.8"));
        assert!(network("::1").is_loopback() && network("127.0.0.1").is_loopback());
    }
}
