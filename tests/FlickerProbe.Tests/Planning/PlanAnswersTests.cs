using FlickerProbe.Planning;
using FlickerProbe.Units;

namespace FlickerProbe.Tests.Planning;

public class PlanAnswersTests
{
    [Fact]
    public void A_camera_reads_with_what_is_known_of_it()
    {
        PlanCamera camera = PlanAnswers.Camera("hall=25, 29.97@1/50,1/250,180deg@-16ms");
        Assert.Equal(("hall", -0.016), (camera.Name, camera.Readout!.Seconds));
        Assert.Equal(["25", "30000/1001"], camera.Rates.Select(r => r.ToString()));
        Assert.Equal(["1/50", "1/250", "180deg"], camera.Shutters);
        Assert.Equal(6, camera.Settings().Count);
        Assert.Empty(PlanAnswers.Camera("phone=30").Shutters);
        Assert.Null(PlanAnswers.Camera("phone=30@@unknown").Readout);
    }

    [Theory]
    [InlineData("hall", "is not a camera")]
    [InlineData("=25", "is not a camera")]
    [InlineData("hall=", "Which frame rates")]
    [InlineData("hall=fast", "is not a frame rate")]
    [InlineData("hall=25@quick", "is not a shutter")]
    [InlineData("hall=25@1/50@late", "is not a readout time")]
    public void A_slip_is_named(string text, string says) =>
        Assert.Contains(says, Assert.Throws<InputException>(() => PlanAnswers.Camera(text)).Message, StringComparison.Ordinal);

    [Fact]
    public void A_format_belongs_to_the_camera_it_names_or_to_the_only_one()
    {
        PlanCamera hall = PlanAnswers.Camera("hall=25@1/50"), phone = PlanAnswers.Camera("phone=30");
        Assert.Equal("hall", PlanAnswers.Format("25@1/50", [hall]).CameraName);
        Assert.Null(PlanAnswers.Format("25@1/50", [hall, phone]).CameraName);
        Assert.Equal("phone", PlanAnswers.Format("phone=30@1/60", [hall, phone]).CameraName);
    }

    [Fact]
    public void Every_question_has_help_and_those_about_a_camera_name_it()
    {
        Assert.All(PlanQuestions.All, q => Assert.False(string.IsNullOrWhiteSpace(q.Help)));
        Assert.All(PlanQuestions.All, q => Assert.Equal(q.PerCamera, q.Question.Contains("{0}", StringComparison.Ordinal)));
        Assert.Equal(PlanQuestions.All.Count, PlanQuestions.All.Select(q => q.Key).Distinct().Count());
    }
}
