//! What this room refuses at its edge with the binary.

/// Why the app can't be opened or a passphrase can't be set.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum WebError {
    /// The record of who may come in can't be read.
    #[error(
        "the access record can't be read: {reason}; right would be to move it away: then every device signs in anew"
    )]
    AccessRecord {
        /// What is wrong with it.
        reason: String,
    },
    /// The record of checks that phones sent can't be read.
    #[error(
        "the kept checks can't be read: {reason}; right would be to move them away: then none are kept yet"
    )]
    KeptChecks {
        /// What is wrong with it.
        reason: String,
    },
    /// What phones are to check by is no module.
    #[error("it is no WebAssembly module; right would be the file that ./offline builds")]
    NoModule,
    /// A passphrase is too short to be one.
    #[error("the passphrase has {found} characters; right would be {least} or more, four plain words say")]
    ShortPassphrase {
        /// Characters it has.
        found: usize,
        /// Characters it needs.
        least: usize,
    },
    /// Other devices are let in without a passphrase to protect it.
    #[error(
        "other devices need a passphrase, and none is set; right would be: lotwright serve --set-passphrase"
    )]
    NoPassphrase,
    /// The passphrase can't be hashed.
    #[error("the passphrase can't be hashed: {0}; right would be to try again")]
    Hash(String),
    /// The certificate or its key can't be used.
    #[error(
        "{part} can't be used: {reason}; right would be a PEM file, the certificate with its chain and the key that belongs to it"
    )]
    Tls {
        /// Which of the two.
        part: &'static str,
        /// What is wrong.
        reason: String,
    },
    /// The system gives no secrets.
    #[error("the system gives no random bytes: {0}")]
    NoSecret(String),
    /// The record can't be kept.
    #[error("the access record can't be kept: {0}")]
    NotKept(String),
}
