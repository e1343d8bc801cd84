//! The book as PDF: it holds to PDF/UA-1, is the same each time, and what a script says never breaks it.
//!
//! That it says what book.html says is read by `tests/oracle/book_pdf.py`.

#[cfg(feature = "book-pdf")]
mod trial;

use slatwork::{Kind, Memory, Request, build, with_stack};

#[cfg(not(feature = "book-pdf"))]
#[test]
fn asked_for_without_the_feature_it_says_how_to_get_it() {
    let request = Request { only: vec![Kind::BookPdf], ..Request::new("garden_bench") };
    let outcome = with_stack(|| build(&Memory::default(), &request)).expect("a thread");
    assert!(outcome.value.is_none());
    assert_eq!(outcome.diagnostics[0].code, "document-not-built-in");
    assert!(outcome.diagnostics[0].help.join(" ").contains("--features book-pdf"));
    // Who asks for nothing by name gets what there is.
    let request = Request { only: Vec::new(), ..request };
    let dossier =
        with_stack(|| build(&Memory::default(), &request)).expect("a thread").value.expect("it can be built");
    assert!(dossier.documents.iter().all(|document| document.kind != Kind::BookPdf));
}

#[cfg(feature = "book-pdf")]
mod with_the_feature {
    use super::trial::trial;
    use super::*;
    use slatwork::{BookPage, Dossier, Units};

    fn made(world: &Memory, request: &Request) -> Dossier {
        let request = Request { only: vec![Kind::BookPdf], ..request.clone() };
        let outcome = with_stack(|| build(world, &request)).expect("a thread");
        let told = format!("{:?}", outcome.diagnostics);
        outcome.value.unwrap_or_else(|| panic!("{told}"))
    }

    fn files(dossier: &Dossier) -> [(&str, &[u8]); 2] {
        let paths = dossier.documents.iter().map(|document| document.path.as_str());
        assert_eq!(paths.collect::<Vec<_>>(), ["book.pdf", "owner.pdf"]);
        [0, 1]
            .map(|index| (dossier.documents[index].path.as_str(), dossier.documents[index].bytes.as_slice()))
    }

    fn count(bytes: &[u8], text: &str) -> usize {
        bytes.windows(text.len()).filter(|window| *window == text.as_bytes()).count()
    }

    /// What the typesetter validated, the file itself must claim.
    #[test]
    fn it_is_tagged_and_says_that_it_holds_to_the_standard() {
        for (family, page, box_) in [
            ("porch_swing", BookPage::Letter, "/MediaBox[0 0 612 792]"),
            ("garden_bench", BookPage::A4, "/MediaBox[0 0 595.2756 841.8898]"),
            ("adirondack_chair", BookPage::A4, "/MediaBox[0 0 595.2756 841.8898]"),
        ] {
            let request = Request { book_page: Some(page), ..Request::new(family) };
            let dossier = made(&Memory::default(), &request);
            for (path, bytes) in files(&dossier) {
                for claim in ["%PDF-1.7", "<pdfuaid:part>1</pdfuaid:part>", "/Marked true", "/Lang(en)", box_]
                {
                    assert!(count(bytes, claim) > 0, "{family}: {path}: no {claim}");
                }
            }
        }
    }

    #[test]
    fn the_same_design_gives_the_same_bytes() {
        let request = Request { units: Units::Mm, ..Request::new("adirondack_chair") };
        let [one, other] = [(), ()].map(|()| made(&Memory::default(), &request));
        assert!(files(&one) == files(&other));
    }

    /// Titles, names and words of a script are data: markup, letters that there are none of, ten thousand letters in a word.
    #[test]
    fn what_a_script_says_is_set_as_it_stands() {
        let hostile = [
            "#eval(\\\"1\\\") $x$ *bold* _it_ @key <label> #import \\\"/book.typ\\\": * // [",
            "</svg><script>alert(1)</script> &lt; ]]>",
            "bell \\u0007 escape \\u001b null \\u0000",
            "\\u05d0\\u05d1\\u05d2 \\u202e turned \\u2066 \\u0639\\u0631\\u0628\\u064a",
            "\\u6f22\\u5b57 e\\u0301 \\u200d \\ufe0f \\uffff",
            "\u{1f600} \u{1f469}\u{200d}\u{1f527} \u{e000} \u{10ffff}",
        ];
        let long = format!("{} {}", "w".repeat(10_000), "many words ".repeat(1_000));
        let mut built = 0;
        for words in hostile.into_iter().chain([long.as_str()]) {
            if let Some(dossier) = trial(words, Kind::BookPdf) {
                files(&dossier);
                built += 1;
            }
        }
        assert!(built > 0, "all words are refused");
    }
}
