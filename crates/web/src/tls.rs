//! The owner's own certificate.

use std::sync::Arc;

use tokio_rustls::rustls::ServerConfig;
use tokio_rustls::rustls::crypto::ring;
use tokio_rustls::rustls::pki_types::pem::PemObject as _;
use tokio_rustls::rustls::pki_types::{CertificateDer, PrivateKeyDer};

use crate::WebError;

/// A certificate with its key, ready for use.
#[derive(Debug, Clone)]
pub struct Tls {
    pub(crate) config: Arc<ServerConfig>,
}

impl Tls {
    /// From two PEM texts: the certificate with its chain, and its key.
    ///
    /// # Errors
    /// When one can't be read or they don't belong together.
    pub fn read(certificate: &[u8], key: &[u8]) -> Result<Self, WebError> {
        let wrong = |part: &'static str| move |reason: String| WebError::Tls { part, reason };
        let chain: Vec<CertificateDer<'static>> = CertificateDer::pem_slice_iter(certificate)
            .collect::<Result<_, _>>()
            .map_err(|e| wrong("the certificate")(e.to_string()))?;
        if chain.is_empty() {
            return Err(wrong("the certificate")(String::from("there is none in the file")));
        }
        let key = PrivateKeyDer::from_pem_slice(key).map_err(|e| wrong("the key")(e.to_string()))?;
        let mut config = ServerConfig::builder_with_provider(Arc::new(ring::default_provider()))
            .with_safe_default_protocol_versions()
            .map_err(|e| wrong("TLS")(e.to_string()))?
            .with_no_client_auth()
            .with_single_cert(chain, key)
            .map_err(|e| wrong("the certificate with its key")(e.to_string()))?;
        config.alpn_protocols = vec![b"http/1.1".to_vec()];
        Ok(Self { config: Arc::new(config) })
    }
}
