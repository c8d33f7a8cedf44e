//! The two versions of the standard, and what differs between them besides the names.

use super::identifier::kebab;

/// A version of the standard (1EdTech, Question and Test Interoperability).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Version {
    /// 2.2, of September 2015.
    V2,
    /// 3.0, of May 2022.
    V3,
}

/// The name spaces and words of a version.
#[derive(Debug)]
pub(super) struct Vocabulary {
    /// The word a person asks for it by, and the first half of the file's extension.
    pub format: &'static str,
    /// What it is good for, in one line.
    pub about: &'static str,
    /// The extension of a package.
    pub extension: &'static str,
    /// The name space of items and tests.
    pub namespace: &'static str,
    /// Where the schema of items and tests is published; a hint that nobody has to follow.
    pub schema: &'static str,
    /// The name space of the manifest.
    pub manifest_namespace: &'static str,
    /// Where the schema of the manifest is published.
    pub manifest_schema: &'static str,
    /// The kind of package in the manifest, and its version.
    pub package: (&'static str, &'static str),
    /// The type of an item in the manifest.
    pub item: &'static str,
    /// The type of a test in the manifest.
    pub test: &'static str,
}

static V2: Vocabulary = Vocabulary {
    format: "qti2",
    about: "a package for a course platform, by the open standard QTI 2.2",
    extension: "qti2.zip",
    namespace: "http://www.imsglobal.org/xsd/imsqti_v2p2",
    schema: "http://www.imsglobal.org/xsd/qti/qtiv2p2/imsqti_v2p2.xsd",
    manifest_namespace: "http://www.imsglobal.org/xsd/imscp_v1p1",
    manifest_schema: "http://www.imsglobal.org/xsd/qti/qtiv2p2/qtiv2p2_imscpv1p2_v1p0.xsd",
    package: ("QTIv2.2 Package", "1.0.0"),
    item: "imsqti_item_xmlv2p2",
    test: "imsqti_test_xmlv2p2",
};

static V3: Vocabulary = Vocabulary {
    format: "qti3",
    about: "a package for a course platform, by the open standard QTI 3.0",
    extension: "qti3.zip",
    namespace: "http://www.imsglobal.org/xsd/imsqtiasi_v3p0",
    schema: "https://purl.imsglobal.org/spec/qti/v3p0/schema/xsd/imsqti_asiv3p0_v1p0.xsd",
    manifest_namespace: "http://www.imsglobal.org/xsd/qti/qtiv3p0/imscp_v1p1",
    manifest_schema: "https://purl.imsglobal.org/spec/qti/v3p0/schema/xsd/imsqtiv3p0_imscpv1p2_v1p0.xsd",
    package: ("QTI Package", "3.0.0"),
    item: "imsqti_item_xmlv3p0",
    test: "imsqti_test_xmlv3p0",
};

impl Version {
    /// The words of the version.
    pub(super) fn words(self) -> &'static Vocabulary {
        match self {
            Self::V2 => &V2,
            Self::V3 => &V3,
        }
    }

    /// The name of an element of the standard, which is known by its name in 2.2.
    pub(super) fn element(self, name: &str) -> String {
        match self {
            Self::V2 => name.to_owned(),
            Self::V3 => format!("qti-{}", kebab(name)),
        }
    }

    /// The name of an attribute of such an element.
    pub(super) fn attribute(self, name: &str) -> String {
        match self {
            Self::V2 => name.to_owned(),
            Self::V3 if name.contains(':') => name.to_owned(),
            Self::V3 => kebab(name),
        }
    }

    /// Returns whether the content of an element stands in a body of its own.
    pub(super) fn wraps(self, name: &str) -> bool {
        self == Self::V3 && matches!(name, "feedbackBlock" | "modalFeedback" | "rubricBlock")
    }
}
