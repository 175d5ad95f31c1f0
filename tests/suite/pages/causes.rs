//! The page of how often the causes were right.

use crate::app::TestApp;

const PATH: &str = "/review/causes";

#[tokio::test]
async fn before_the_first_answer_it_says_what_to_do() {
    let app = TestApp::new().await;
    app.sheet_in("Ada Fenn").await;
    let owner = app.browser(app.owner).await;
    owner.get("/review").await.shown().says(&format!(r#"href="{PATH}""#));
    let page = owner.get(PATH).await.shown();
    page.says("No repair was confirmed yet")
        .says("Record what the repair found")
        .does_not_say("<svg class=\"reliability");
}

#[tokio::test]
async fn what_was_predicted_stands_against_what_was_found() {
    let app = TestApp::new().await;
    let answers = [
        ("Ada Fenn", "low_charge", "low_charge"),
        ("Bo Larch", "feed_restriction", "low_charge"),
        ("Cy Moss", "low_charge", "no_fault"),
    ];
    for (name, predicted, found) in answers {
        let visit = app.sheet_in(name).await;
        app.predict(visit, &[(predicted, 0.92)]).await;
        app.found(visit, found).await;
    }
    let owner = app.browser(app.owner).await;
    let page = owner.get(PATH).await.shown();
    page.says("The first cause was right at 1 of 3 visits")
        .says("too few to tell a share")
        .says("At 2 of them something was wrong")
        .says("Another cause was named")
        .says("n too small")
        .says("n 3")
        .says(r#"<td class="n"><b>1<span class="unseen"> right</span></b></td>"#)
        .says("Refrigerant held back before the indoor coil")
        .says("Engine 0.9.0: 3 visits, by the priors priors-4");
}

#[tokio::test]
async fn five_answers_are_enough_to_tell_a_share_with_its_interval() {
    let app = TestApp::new().await;
    for name in ["Ada Fenn", "Bo Larch", "Cy Moss", "Di Rowe", "Ed Thorne"] {
        let visit = app.sheet_in(name).await;
        app.predict(visit, &[("low_charge", 0.93)]).await;
        app.found(visit, "low_charge").await;
    }
    let owner = app.browser(app.owner).await;
    let page = owner.get(PATH).await.shown();
    page.says("(100 %; 95 % interval 57 % to 100 %)").says("93 %").does_not_say("n too small");
}

#[tokio::test]
async fn a_visit_of_which_nothing_was_predicted_counts_as_that() {
    let app = TestApp::new().await;
    let visit = app.sheet_in("Ada Fenn").await;
    app.predict(visit, &[]).await;
    app.found(visit, "low_charge").await;
    let owner = app.browser(app.owner).await;
    let page = owner.get(PATH).await.shown();
    page.says("right at 0 of 1 visit that")
        .says("No cause named")
        .says("nothing was said to be likely");
}
