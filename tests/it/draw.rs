//! Drawing, with the templates that come with the program.

use std::collections::BTreeSet;

use castmark::bank::Bank;
use castmark::draw::{Code, Permutation, Seed, Space, Stream};

#[test]
fn every_bundled_template_has_a_space_that_is_counted() {
    for template in Bank::bundled().unwrap().templates() {
        let space = Space::of(template).unwrap_or_else(|| panic!("{}", template.id));
        assert!(space.size >= 200, "{} has {} draws", template.id, space.size);
    }
}

#[test]
fn candidates_of_a_class_never_meet() {
    let bank = Bank::bundled().unwrap();
    for template in bank.templates() {
        let space = Space::of(template).unwrap();
        let order =
            Permutation::new(&Seed::derive(b"a secret", "class", &[&template.id]), space.size);
        let places: BTreeSet<u128> = (0..200).map(|number| order.at(number).unwrap()).collect();
        assert_eq!(places.len(), 200, "{}", template.id);
        assert!(places.iter().all(|place| *place < space.size));
    }
}

#[test]
fn looks_do_not_change_the_numbers() {
    let bank = Bank::bundled().unwrap();
    for template in bank.templates() {
        let space = Space::of(template).unwrap();
        let draws = [1, 2, 3].map(|number| {
            let mut looks = Stream::numbered(&Code::new(&template.id, number).seed(), 1);
            space.draw(template, space.size / 3, &mut looks).unwrap()
        });
        assert!(draws.iter().all(|draw| draw.slots == draws[0].slots), "{}", template.id);
    }
}
