//! A small file made smaller, and read again.

use hayro_syntax::page::Page;

use super::*;
use crate::export::typeset::setting::plain;

const SHEET: &str = "#set document(title: \"A class\", description: \"b\")\n\
    #set text(lang: \"en\", region: \"GB\", font: (\"Libertinus Serif\", \"Noto Sans\"))\n\
    #show math.equation: set text(font: \"New Computer Modern Math\")\n\
    #set page(height: 70mm)\n= First office\n#lorem(200)\n\n#table(columns: 2, table.header[A][B], [1], [2])\n\
    #text(font: \"Noto Sans\")[Waffle — ½ ≈ \u{3b1}] #math.equation(alt: \"x\", $x^2 / sqrt(y)$)\n";

fn both() -> (Vec<u8>, Vec<u8>) {
    let plain = plain(SHEET, None).unwrap();
    let compact = compacted(&plain).unwrap();
    (plain, compact)
}

/// The contents of all pages, as they are read.
fn contents(file: &[u8]) -> Vec<Vec<u8>> {
    let pdf = Pdf::new(file.to_vec()).unwrap();
    pdf.pages().iter().map(|page| page.page_stream().unwrap().to_vec()).collect()
}

#[test]
fn a_file_has_the_same_pages_in_half_the_bytes() {
    let (plain, compact) = both();
    assert!(2 * compact.len() < plain.len() + 20_000, "{} of {}", compact.len(), plain.len());
    let [plain, compact] = [plain, compact].map(|file| Pdf::new(file).unwrap());
    // Numbers are written to thousandths of a point.
    let boxes = |pdf: &Pdf| -> Vec<String> {
        let page = |page: &Page<'_>| {
            let media = page.media_box();
            format!("{:.2} by {:.2}", media.x1 - media.x0, media.y1 - media.y0)
        };
        pdf.pages().iter().map(page).collect()
    };
    assert_eq!(compact.pages().len(), plain.pages().len());
    assert!(compact.pages().len() > 1);
    assert_eq!(boxes(&compact), boxes(&plain));
    assert_eq!(compact.metadata().title, plain.metadata().title);
}

/// ISO 32000-1, 14.7.4.4: the number of each piece of content is its place in the list of its page.
#[test]
fn every_piece_of_content_finds_its_tag_and_the_tag_holds_it() {
    let (_, compact) = both();
    let pdf = Pdf::new(compact.clone()).unwrap();
    let catalog: Dict<'_> = pdf.xref().get(pdf.xref().root_id()).unwrap();
    let tags: Dict<'_> = catalog.get("StructTreeRoot").unwrap();
    let lists = lists(&tags.get("ParentTree").unwrap()).unwrap();
    let mut seen = 0;
    for (page, content) in pdf.pages().iter().zip(contents(&compact)) {
        let list = lists[&page.raw().get::<i32>("StructParents").unwrap()];
        let list: Array<'_> = pdf.xref().get(ObjRef::new(list, 0).into()).unwrap();
        let list: Vec<i32> =
            list.raw_iter().map(|tag| tag.as_obj_ref().unwrap().obj_number).collect();
        let text = String::from_utf8_lossy(&content).into_owned();
        let numbers = text.split("/MCID ").skip(1);
        let numbers: Vec<usize> =
            numbers.map(|rest| rest.split('>').next().unwrap().parse().unwrap()).collect();
        assert_eq!(numbers, (0..list.len()).collect::<Vec<usize>>());
        for (number, tag) in (0..).zip(list) {
            let tag: Dict<'_> = pdf.xref().get(ObjRef::new(tag, 0).into()).unwrap();
            let at = page.raw().obj_id().unwrap().obj_number;
            let holds = |kid: &Kid<'_>| matches!(kid, Kid::Piece(page, own) if (*page, *own) == (at, number));
            assert_eq!(kids(&tag).iter().filter(|kid| holds(kid)).count(), 1, "{number}");
            seen += 1;
        }
    }
    assert!(seen > 5, "{seen}");
}

#[test]
fn every_code_is_a_glyph_with_a_place_and_a_text() {
    let (_, compact) = both();
    let pdf = Pdf::new(compact).unwrap();
    let (mut fonts, mut usual_glyphs) = (0, 0);
    for font in pdf.objects().into_iter().filter_map(Object::into_dict) {
        let Some(shared) = Shareable::of(&font) else { continue };
        fonts += 1;
        let map: Stream<'_> = font.get("Encoding").unwrap();
        let map = String::from_utf8(map.decoded().unwrap().into_owned()).unwrap();
        for (code, text) in &shared.texts {
            assert!(map.contains(&format!("<{code:04x}> ")), "{code:x} {text}");
            let mut letters = text.chars();
            let letter = letters.next().filter(|_| letters.next().is_none());
            let usual = letter.and_then(|letter| shared.face.usual(letter));
            usual_glyphs += usize::from(usual == Some(*code));
        }
    }
    assert_eq!(fonts, 4, "the serif twice, the sans serif and the one for formulas");
    assert!(usual_glyphs > 20, "a code is the number of the glyph in the font");
}

#[test]
fn what_is_no_plain_file_stays_as_it_is() {
    let (plain, compact) = both();
    assert_eq!(compacted(b"%PDF-1.7"), None);
    assert_eq!(compacted(&plain[..plain.len() / 2]), None);
    assert_eq!(compacted(&compact), None, "it is compact already");
    assert!(compacted(&plain) == Some(compact), "the same file gives the same bytes");
}
