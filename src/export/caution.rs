//! The caution that everything made here carries.

/// What every sheet says about its use.
pub const CAUTION: &str = "For teaching and self-assessment only, not for preparing or supplying \
     medicines. In practice the pharmacopoeia and the rules in force where you are decide, and a \
     licensed pharmacist answers for the work.";
