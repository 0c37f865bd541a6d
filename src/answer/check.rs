//! Whether a design file can be used.

facts! {
    /// What `check` says of a file without faults; faults are an error.
    #[derive(Eq)]
    pub struct CheckAnswer {
        /// the file, or `null` for the embedded example
        pub file: Option<String>,
        /// always empty
        pub faults: Vec<String>,
    }
}
