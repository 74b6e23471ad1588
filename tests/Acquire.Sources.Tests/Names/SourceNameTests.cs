using Acquire.Capture;
using Acquire.Recordings;
using Acquire.Sources.Names;
using Acquire.Sources.Serial;
using Acquire.Sources.Streams;
using Acquire.Sources.Tests.Doubles;

namespace Acquire.Sources.Tests.Names;

public class SourceNameTests
{
    [Theory]
    [InlineData("serial:/dev/ttyACM0?baud=3000000", typeof(SerialSource), "serial:/dev/ttyACM0", false)]
    [InlineData("serial:/dev/ttyACM0?baud=3M&flow=rtscts&dtr=off&replug=no&decoder=lines&channels=vertical,ramp&bits=10&rate=2kHz&numbered=yes", typeof(SerialSource), "serial:/dev/ttyACM0", false)]
    [InlineData("serial:COM7?replug=forever", typeof(SerialSource), "serial:COM7", false)]
    [InlineData("tcp:192.0.2.7:4000", typeof(TcpSource), "tcp:192.0.2.7:4000", false)]
    [InlineData("tcp:[2001:db8::7]:4000?decoder=words&tagged=yes&bits=12&timeout=500ms", typeof(TcpSource), "tcp:[2001:db8::7]:4000", false)]
    [InlineData("tcp:bench:4000?wait=yes", typeof(TcpSource), "tcp:bench:4000", true)]
    [InlineData("stdin:", typeof(StandardInputSource), "stdin:", true)]
    [InlineData("stdin:?wait=no", typeof(StandardInputSource), "stdin:", false)]
    [InlineData("file:/var/night", typeof(RecordingSource), "file:/var/night", true)]
    [InlineData("file:night.wav?bits=12&channels=3", typeof(RecordingSource), "file:night.wav", true)]
    [InlineData("synth:bandstop", typeof(SyntheticSource), "synth:bandstop", true)]
    [InlineData("synth:bandstop?seed=5&pace=1&ramp.noise=2", typeof(SyntheticSource), "synth:bandstop?seed=5&pace=1&ramp.noise=2", false)]
    public void Create_RightName_MakesTheSource(string text, Type type, string name, bool canWait)
    {
        IScanSource source = SourceName.Create(text);

        Assert.IsType(type, source);
        Assert.Equal(name, source.Name);
        Assert.Equal(canWait, source.CanWait);
    }

    // The recording says its bits itself, and who names its channels says nothing about them.
    [Theory]
    [InlineData("", 14, ChannelRole.Ramp)]
    [InlineData("?channels=vertical,ramp", 14, ChannelRole.Vertical)]
    [InlineData("?channels=2", 14, ChannelRole.Ramp)]
    [InlineData("?channels=vertical,ramp&bits=13", 13, ChannelRole.Vertical)]
    public void Create_RecordingWithChannelsNamed_KeepsTheBitsThatItStates(string options, int bits, ChannelRole first)
    {
        using RecordingFolder folder = new();
        using (RecordingWriter writer = new(folder.File("night"), new RecordingWriterOptions { Bits = 14 }))
        {
            writer.Write([16_383, 5_000]);
            writer.Complete();
        }

        HeardStream heard = new();
        SourceName.Create($"file:{folder.File("night")}{options}").Run(heard, CancellationToken.None);

        Assert.Equal(bits, heard.Description!.Scan.Bits);
        Assert.Equal(first, heard.Description.Scan.Roles[0]);
    }

    [Fact]
    public void Create_RecordingOfBytesWithChannelsNamed_IsRead()
    {
        using RecordingFolder folder = new();
        File.WriteAllText(folder.File("night.sigmf-meta"), """{ "global": { "core:datatype": "ru8", "core:version": "1.2.5", "core:num_channels": 2 }, "captures": [], "annotations": [] }""");
        File.WriteAllBytes(folder.File("night.sigmf-data"), [1, 2, 3, 4]);

        HeardStream heard = new();
        SourceName.Create($"file:{folder.File("night")}?channels=ramp,vertical").Run(heard, CancellationToken.None);

        Assert.Equal(8, heard.Description!.Scan.Bits);
        Assert.Equal([1, 2, 3, 4], heard.Words);
    }

    [Theory]
    [InlineData("", "write serial:PORT")]
    [InlineData("/dev/ttyACM0", "that is no source")]
    [InlineData("usb:0", "that is no source")]
    [InlineData("SERIAL:/dev/ttyACM0", "that is no source")]
    [InlineData("serial:", "the port is missing")]
    [InlineData("serial:?baud=9600", "the port is missing")]
    [InlineData("serial:x?baud=fast", "baud: \"fast\" does not begin with a number")]
    [InlineData("serial:x?baud=9600.5", "baud is 9600.5; write a whole number")]
    [InlineData("serial:x?baud=0", "baud is 0; write a whole number")]
    [InlineData("serial:x?baud=10", "Baud is 10; a line has")]
    [InlineData("serial:x?baud=9600 Hz", "baud:")]
    [InlineData("serial:x?baud", "'baud' is no option")]
    [InlineData("serial:x?baud=9600&baud=9600", "baud is given twice")]
    [InlineData("serial:x?speed=9600", "the option speed is not known here; options are baud, flow, dtr, rts, replug, decoder")]
    [InlineData("serial:x?flow=xon", "flow is 'xon'; write one of none, rtscts")]
    [InlineData("serial:x?flow=rtscts&rts=on", "leave one of the two out")]
    [InlineData("serial:x?decoder=json", "decoder is 'json'; write one of link, lines, words")]
    [InlineData("serial:x?channels=ramp", "1 channels")]
    [InlineData("serial:x?channels=ramp,sweep", "write the roles in scan order")]
    [InlineData("serial:x?channels=vertical,vertical", "Exactly one channel must have the role ramp")]
    [InlineData("serial:x?bits=17", "bits is 17")]
    [InlineData("serial:x?decoder=words&tagged=yes&bits=16", "channel's index")]
    [InlineData("serial:x?rate=0Hz", "rate is 0Hz; write more than 0")]
    [InlineData("serial:x?replug=-1", "replug is -1")]
    [InlineData("serial:x?numbered=yes", "the option numbered is not known here")]
    [InlineData("serial:x?decoder=lines&numbered=maybe", "numbered is 'maybe'; write yes or no, or the bits of the device's counter, 8 to 63")]
    [InlineData("serial:x?decoder=lines&numbered=7", "numbered is '7'; write yes or no, or the bits of the device's counter, 8 to 63")]
    [InlineData("serial:x?decoder=lines&numbered=64", "numbered is '64'; write")]
    [InlineData("serial:x?decoder=lines&numbered=16.5", "numbered is '16.5'; write")]
    [InlineData("tcp:", "that is no address")]
    [InlineData("tcp:host", "that is no address")]
    [InlineData("tcp:host:0", "that is no address")]
    [InlineData("tcp:host:65536", "that is no address")]
    [InlineData("tcp::4000", "that is no address")]
    [InlineData("tcp:2001:db8::7:4000", "that is no address")]
    [InlineData("tcp:host:4000?timeout=0", "ConnectTimeout is 00:00:00")]
    [InlineData("stdin:x", "standard input has no name")]
    [InlineData("file:", "the recording's name is missing")]
    [InlineData("file:night?baud=9600", "the option baud is not known here")]
    [InlineData("synth:", "the bench's name is missing; write synth:NAME, one of through")]
    [InlineData("synth:nosuch", "'nosuch' is no synthetic bench")]
    [InlineData("synth:through?pace=0", "pace is 0; write more than 0")]
    [InlineData("synth:through?ramp.nose=2", "nose")]
    public void Create_WrongName_SaysInOneLineWhatIsWrong(string text, string part)
    {
        SourceException exception = Assert.Throws<SourceException>(() => SourceName.Create(text));

        Assert.Equal(SourceFailure.NameWrong, exception.Failure);
        Assert.Contains(part, exception.Message, StringComparison.Ordinal);
        Assert.StartsWith(text.Length == 0 ? "\"\": " : $"{text.TrimEnd(':')}: ", exception.Message, StringComparison.Ordinal);
        Assert.DoesNotContain('\n', exception.Message);
        Assert.EndsWith(".", exception.Message, StringComparison.Ordinal);
        Assert.DoesNotContain("..", exception.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Create_ControlCharactersInTheName_AreEscapedInTheMessage()
    {
        SourceException exception = Assert.Throws<SourceException>(() => SourceName.Create("ser\u001b[31mial:x\r\n"));

        Assert.DoesNotContain(exception.Message, char.IsControl);
    }

    [Fact]
    public void Create_LinesOverAPort_AreDecodedAsTheNameSays()
    {
        using Pty pty = new();
        WatchedReceiver receiver = new();
        using SourceRun run = new(SourceName.Create($"serial:{pty.Port}?decoder=lines&channels=vertical,ramp&bits=10&rate=2kHz"), receiver);

        pty.Write("12,1000\n13,1001\n"u8);
        receiver.WaitForWords(4);
        run.Stop();

        Assert.Equal([12, 1000, 13, 1001], receiver.Words);
        Assert.Equal([ChannelRole.Vertical, ChannelRole.Ramp], receiver.Description!.Scan.Roles);
        Assert.Equal(10, receiver.Description.Scan.Bits);
        Assert.Equal(2_000, receiver.Description.Scan.ScanRateHz);
    }

    // A counter of 16 bits begins anew behind 65,535; taken for a wider one that would be a new start of the device.
    [Fact]
    public void Create_NumberedLinesOfANarrowCounter_CountAcrossItsEnd()
    {
        using Pty pty = new();
        WatchedReceiver receiver = new();
        using SourceRun run = new(SourceName.Create($"serial:{pty.Port}?decoder=lines&numbered=16"), receiver);

        pty.Write("65533,1,2\n65534,3,4\n1,5,6\n2,7,8\n"u8);
        receiver.WaitForWords(8);
        run.Stop();

        Assert.Equal([1, 2, 3, 4, 5, 6, 7, 8], receiver.Words);
        Assert.Equal(["describe", "skip 2 Link"], receiver.Events);
    }

    [Fact]
    public void Create_WithSetup_TakesItsFormatWhereTheNameSaysNone()
    {
        ScanFormat format = new() { Roles = [ChannelRole.Vertical, ChannelRole.Ramp], Bits = 9, ScanRateHz = 300 };
        using Pty pty = new();
        WatchedReceiver receiver = new();
        using SourceRun run = new(SourceName.Create($"serial:{pty.Port}?decoder=lines&bits=10", new SourceChoices { Setup = new Setup { Scan = format } }), receiver);

        pty.Write("1,2\n3,4\n"u8);
        receiver.WaitForWords(4);

        Assert.Equal(format.Roles, receiver.Description!.Scan.Roles);
        Assert.Equal(10, receiver.Description.Scan.Bits);
        Assert.Equal(300, receiver.Description.Scan.ScanRateHz);
    }
}
