//! Result tables and documents as text or bytes.
